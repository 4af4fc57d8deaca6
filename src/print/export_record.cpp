#include "../base/sha256.h"
#include "../text/csv.h"

#include "tymbal/base/error.h"
#include "tymbal/print/write_record.h"
#include "tymbal/read/read_step.h"
#include "tymbal/text/whole_file.h"

#include <algorithm>
#include <array>
#include <filesystem>
#include <set>

namespace tymbal {

namespace fs = std::filesystem;

namespace {

/// In quotes; lines stay lines (RFC 4180): an export must lose nothing.
std::string quoted(const std::string& text) {
    std::string out = "\"";
    for (const char c : text) out.append(c == '"' ? "\"\"" : std::string(1, c));
    return out.append("\"");
}

void write_entries(std::ostream& out, const RecordContents& record) {
    out << "number,step,chip,device,date,recorded,person,note,corrects,sha256\n";
    for (const RecordEntry& e : record.entries)
        out << e.number << ',' << quoted(e.step) << ',' << quoted(e.chip) << ',' << quoted(e.device) << ','
            << quoted(e.date) << ',' << quoted(e.recorded) << ',' << quoted(e.by) << ',' << quoted(e.note) << ','
            << (e.corrects ? std::to_string(*e.corrects) : "") << ',' << e.sha256 << '\n';
}

void write_values(std::ostream& out, const RecordContents& record) {
    out << "entry,key,text,value,deviation,unit\n";
    for (const RecordEntry& e : record.entries)
        for (const RecordedValue& v : e.values)
            out << e.number << ',' << quoted(v.key) << ',' << quoted(v.text) << ',' << csv(v.value) << ','
                << csv(v.deviation) << ',' << quoted(v.unit) << '\n';
}

void write_attached(std::ostream& out, const RecordContents& record) {
    out << "entry,role,path,sha256,size\n";
    for (const RecordEntry& e : record.entries)
        for (const RecordedFile& f : e.files)
            out << e.number << ',' << quoted(f.role) << ',' << quoted(f.path) << ',' << f.sha256 << ',' << f.size
                << '\n';
}

void write_chips(std::ostream& out, const RecordContents& record) {
    out << "name,title,file,sha256\n";
    for (const RecordedChip& c : record.chips)
        out << quoted(c.name) << ',' << quoted(c.title) << ',' << quoted(c.file) << ',' << c.sha256 << '\n';
}

void write_devices(std::ostream& out, const RecordContents& record) {
    out << "chip,name,x_m,y_m,design\n";
    for (const RecordedChip& c : record.chips)
        for (const RecordedDevice& d : c.devices)
            out << quoted(c.name) << ',' << quoted(d.name) << ',' << csv(d.x_m) << ',' << csv(d.y_m) << ','
                << quoted(d.design) << '\n';
}

/// Values that commands of the program leave beside what step files may have.
bool is_known(const std::string& key) {
    constexpr std::array<const char*, 8> own{"outline_size", "outline_width",   "outline_height", "fill_factor",
                                             "drying",       "last_oxide_gone", "film.tilt",      "outline.growth"};
    return is_step_value(key) || std::find(own.begin(), own.end(), key) != own.end();
}

/// Files that still lie where an entry says, but are no longer what they were.
void look_at_file(const RecordEntry& e, const RecordedFile& f, const fs::path& folder,
                  std::vector<RecordFinding>& out) {
    const fs::path there = fs::path(f.path).is_absolute() ? fs::path(f.path) : folder / f.path;
    std::error_code error;
    if (!fs::is_regular_file(there, error)) return;  // moved away: its hash will tell it again
    try {
        if (sha256_hex(read_whole(there.string())) == f.sha256) return;
        out.push_back({false, e.chip,
                       "entry " + std::to_string(e.number) + ": " + f.path + " has changed since it was recorded"});
    } catch (const InputError&) {
        out.push_back({false, e.chip, "entry " + std::to_string(e.number) + ": " + f.path + " cannot be read"});
    }
}

}  // namespace

void export_record(const std::string& folder, const RecordContents& record, const std::vector<KeptFile>& kept) {
    std::error_code error;
    fs::create_directories(fs::path(folder) / "files", error);
    if (error) throw InputError({folder, 0}, "", "cannot be made a folder; check that it may be written");
    const auto to = [&](const char* name, void (*write)(std::ostream&, const RecordContents&)) {
        write_whole((fs::path(folder) / name).string(), [&](std::ostream& out) { write(out, record); });
    };
    to("chip.csv", write_chips);
    to("device.csv", write_devices);
    to("entry.csv", write_entries);
    to("value.csv", write_values);
    to("attached.csv", write_attached);
    for (const KeptFile& file : kept)
        write_whole((fs::path(folder) / "files" / file.sha256).string(), [&](std::ostream& out) {
            out.write(file.bytes.data(), static_cast<std::streamsize>(file.bytes.size()));
        });
}

std::vector<RecordFinding> check_record(const std::string& path) {
    std::vector<RecordFinding> out;
    for (const std::string& text : damage_of(path)) out.push_back({true, "", text});
    if (!out.empty() && out.front().text.rfind("database: ", 0) == 0) return out;
    const RecordContents record = read_record(path);
    const std::vector<RecordFinding> gaps = record_gaps(record);
    out.insert(out.end(), gaps.begin(), gaps.end());
    std::set<std::string> unknown;
    for (const RecordEntry& e : record.entries) {
        for (const RecordedValue& v : e.values)
            if (!is_known(v.key) && unknown.insert(v.key).second)
                out.push_back({false, e.chip,
                               "entry " + std::to_string(e.number) + ": '" + v.key +
                                   "' is a key that this program does not know"});
        for (const RecordedFile& f : e.files) look_at_file(e, f, fs::path(path).parent_path(), out);
    }
    return out;
}

}  // namespace tymbal

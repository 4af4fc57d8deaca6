#include "tymbal/read/read_step.h"

#include "../text/figures.h"
#include "../text/plain_name.h"
#include "../text/toml_table.h"
#include "step_values.h"

#include "tymbal/base/error.h"
#include "tymbal/base/nearest.h"
#include "tymbal/read/design_keys.h"
#include "tymbal/read/record_chip.h"
#include "tymbal/record/utc.h"

#include <algorithm>
#include <filesystem>

namespace tymbal {

namespace {

const std::vector<std::string> top_keys{"step", "chip", "device", "date", "by", "note", "corrects", "values", "files"};

/// "section.name" of a design, with its kind; nothing for lists and what is no key.
const DesignKey* design_key(const std::string& full) {
    const std::size_t dot = full.rfind('.');
    return dot == std::string::npos ? nullptr : find_design_key(full.substr(0, dot), full.substr(dot + 1));
}

std::vector<std::string> all_names() {
    std::vector<std::string> names = step_value_names();
    for (const DesignKey& key : design_keys())
        if (*key.section != '\0') names.push_back(std::string(key.section) + "." + key.name);
    return names;
}

void require_one_of(const TomlTable& table, const std::string& key, const std::vector<std::string>& accepted) {
    const std::string text = table.text(key);
    if (accepted.empty() || std::find(accepted.begin(), accepted.end(), text) != accepted.end()) return;
    table.refuse(key, "is '" + text + "'" + suggestion(text, accepted) + "; accepted: " + comma_list(accepted));
}

void require_row(const TomlTable& table, const std::string& key, const std::vector<std::string>& rows) {
    const std::string text = table.text(key);
    if (rows.empty() || std::find(rows.begin(), rows.end(), text) != rows.end()) return;
    table.refuse(key, "is '" + text + "', no row of the material table" + suggestion(text, rows) +
                          "; `tymbal materials` lists them");
}

/// What the values of a file are held against.
struct Reading {
    const Materials& materials;
    bool correction = false;  ///< may take values away
};

RecordedValue read_value(const TomlTable& table, const std::string& key, const std::string& full,
                         const Reading& reading) {
    const StepValue* listed = find_step_value(full);
    const DesignKey* design = listed == nullptr ? design_key(full) : nullptr;
    if (listed == nullptr && design == nullptr)
        table.refuse(key,
                     "is no design key and not in the list of `tymbal record --keys`" + suggestion(full, all_names()));
    const std::optional<Kind> kind = listed != nullptr ? listed->kind : design->kind;
    if (reading.correction && table.written(key) == "none") return {full, "none", {}, {}, ""};
    if (!kind) {
        require_one_of(table, key, listed != nullptr ? listed->accepted : design_words(full));
        if (listed == nullptr) require_row(table, key, design_rows(full, reading.materials));
        return {full, table.text(key), {}, {}, ""};
    }
    const ParsedQuantity q = table.quantity(key, *kind);
    const Range range = listed != nullptr ? listed->range : design_range(full, *kind);
    if (!(q.value >= range.low && q.value <= range.high))
        table.refuse(key, "is '" + table.written(key) + "', out of range; accepted: " + range.words);
    RecordedValue out{full, table.written(key), q.value, {}, *kind == Kind::ratio ? "1" : si_unit(*kind)};
    if (q.has_deviation) out.deviation = q.deviation;
    return out;
}

/// Keys may be quoted or dotted: "holes.diameter", or holes.diameter, which TOML reads as a table.
void read_values(const TomlTable& table, const std::string& before, const Reading& reading,
                 std::vector<RecordedValue>& out) {
    for (const std::string& key : table.keys()) {
        const std::string full = before.empty() ? key : std::string(before).append(".").append(key);
        const std::vector<std::string> sections = design_key_names(full);
        if (!sections.empty() && find_step_value(full) == nullptr && design_key(full) == nullptr)
            read_values(table.table(key), full, reading, out);
        else if (std::any_of(out.begin(), out.end(), [&](const RecordedValue& v) { return v.key == full; }))
            table.refuse(key, "is given twice, in quotes and in its section; keep one");
        else
            out.push_back(read_value(table, key, full, reading));
    }
}

std::string read_date(const TomlTable& root, const std::string& now) {
    if (!root.has("date")) return now;
    const std::string written = root.written("date");
    const std::optional<std::string> date = utc_text(written);
    if (!date)
        root.refuse("date", "is '" + written +
                                "'; accepted: a day or a moment in UTC, \"2026-03-14\" or "
                                "\"2026-03-14T09:30Z\"");
    return *date;
}

std::string read_name(const TomlTable& root, const std::string& key, bool needed, const char* what) {
    if (!root.has(key)) {
        if (needed) root.missing(key, what);
        return "";
    }
    std::string text = root.text(key);
    if (const std::string fault = name_fault(text); !fault.empty()) root.refuse(key, fault);
    return text;
}

std::vector<RecordedFile> read_files(const TomlTable& root, const std::string& path) {
    std::vector<RecordedFile> files;
    if (!root.has("files")) return files;
    for (const std::string& name : root.texts("files", 1000)) {
        const auto there = (std::filesystem::path(path).parent_path() / name).lexically_normal().string();
        if (std::any_of(files.begin(), files.end(), [&](const RecordedFile& f) { return f.path == there; }))
            root.refuse("files", "names '" + name + "' twice");
        try {
            files.push_back(named_file("attached", there));
        } catch (const std::exception&) {
            root.refuse("files", "'" + name + "' cannot be read; paths count from the step file");
        }
    }
    return files;
}

void require_use(const TomlTable& root, const RecordEntry& entry) {
    if (entry.step == "correction" && !entry.corrects)
        root.missing("corrects", "the number of the entry that this one corrects; `tymbal record list` shows them");
    if (entry.step != "correction" && entry.corrects) root.refuse("corrects", "belongs to step = \"correction\"");
    if (entry.values.empty() && entry.files.empty() && entry.note.empty())
        root.missing("values", "[values], files or a note: the entry says nothing else");
}

}  // namespace

const std::vector<std::string>& step_names() {
    static const std::vector<std::string> names{"printed",  "etched", "released", "inspected", "mounted",
                                                "measured", "fitted", "note",     "correction"};
    return names;
}

bool is_step_value(const std::string& key) {
    return find_step_value(key) != nullptr || design_key(key) != nullptr;
}

RecordEntry read_step(const std::string& path, const std::string& now, const Materials& materials) {
    const toml::value parsed = parse_toml(read_text(path, 1), path);
    const TomlTable root(path, "", parsed);
    for (const std::string& key : root.keys())
        if (std::find(top_keys.begin(), top_keys.end(), key) == top_keys.end())
            root.refuse(key,
                        "is no key of a step file" + suggestion(key, top_keys) + "; `tymbal record --keys` lists them");
    RecordEntry entry;
    entry.step = read_name(root, "step", true,
                           "what was done: printed, etched, released, inspected, mounted, "
                           "measured, fitted, note or correction");
    require_one_of(root, "step", step_names());
    entry.chip = read_name(root, "chip", true, "the name of the chip in the record");
    entry.device = read_name(root, "device", false, "");
    entry.date = read_date(root, now);
    entry.recorded = now;
    entry.by = read_name(root, "by", false, "");
    if (root.has("note")) entry.note = root.text("note");
    if (root.has("corrects")) entry.corrects = root.integer("corrects", 1, 2'000'000'000);
    if (root.has("values"))
        read_values(root.table("values"), "", {materials, entry.corrects.has_value()}, entry.values);
    entry.files = read_files(root, path);
    require_use(root, entry);
    return entry;
}

std::string describe_step_keys() {
    std::string text =
        "step        printed | etched | released | inspected | mounted | measured |\n"
        "            fitted | note | correction\n"
        "chip        its name in the record, or the file it was drawn from\n"
        "device      its name; without it the entry is about the whole chip\n"
        "date        UTC, \"2026-03-14\" or \"2026-03-14T09:30Z\"; default: now\n"
        "by, note    free text\n"
        "corrects    number of the entry that a correction is about; its values take\n"
        "            the place of those there, \"none\" takes one away\n"
        "files       list of paths from this file; their SHA-256 is kept\n\n"
        "[values]    design keys (\"film.stress\", see `tymbal predict --keys`), and:\n";
    for (const StepValue& v : step_values()) {
        std::string name = std::string("  ") + v.name;
        name.resize(std::max<std::size_t>(name.size() + 1, 20), ' ');
        std::string unit = !v.kind                  ? "text"
                           : *v.kind == Kind::ratio ? "number +-"
                                                    : accepted_units(*v.kind).front() + " +-";
        unit.resize(std::max<std::size_t>(unit.size() + 1, 11), ' ');
        text.append(name).append(unit).append(v.meaning);
        for (std::size_t k = 0; k < v.accepted.size(); ++k)
            text.append(k == 0 ? ":" : " |").append(k % 4 == 0 ? "\n                     " : " ").append(v.accepted[k]);
        text.append("\n");
    }
    return text;
}

std::string chip_named(const std::string& text, const std::vector<RecordedChip>& chips, const std::string& record) {
    const auto means = [&](const RecordedChip& c) {
        const std::filesystem::path asked(text), file(c.file);
        return c.title == text || file.filename() == asked.filename() || file.stem() == asked;
    };
    std::vector<std::string> names, meant;
    for (const RecordedChip& c : chips) {
        if (c.name == text) return text;
        names.push_back(c.name);
        if (means(c)) meant.push_back(c.name);
    }
    if (meant.size() == 1) return meant.front();
    const std::vector<std::string>& shown = meant.empty() ? names : meant;
    std::string words = meant.empty() ? "the record has no chip '" + text + "'" + suggestion(text, names) + "; it has "
                                      : "'" + text + "' means several chips; give one of ";
    for (std::size_t k = 0; k < shown.size() && k < 12; ++k)
        words.append(k == 0 ? "'" : ", '").append(shown[k]).append("'");
    throw InputError({record, 0}, "chip", words.append(shown.size() > 12 ? ", ..." : ""));
}

namespace {

/// What the record said of a key of the step file, with the place of that key.
[[noreturn]] void refuse_at(const std::string& path, const InputError& e) {
    const toml::value parsed = parse_toml(read_text(path, 1), path);
    TomlTable(path, "", parsed).refuse(e.key(), e.message());
}

/// Of a lone design the device goes without saying; a correction speaks of its entry's.
std::string only_device(const RecordEntry& entry, const std::vector<RecordedChip>& chips) {
    for (const RecordedChip& c : chips)
        if (c.name == entry.chip && c.devices.size() == 1 && !entry.corrects) return c.devices.front().name;
    return "";
}

}  // namespace

RecordAdded add_step(const std::string& path, const std::string& record, const RecordWriter& writer,
                     const Materials& materials) {
    RecordEntry entry = read_step(path, writer.now, materials);
    const std::vector<RecordedChip> chips = read_chips(record);
    try {
        entry.chip = chip_named(entry.chip, chips, record);
        if (entry.device.empty()) entry.device = only_device(entry, chips);
        return add_to_record(record, {{}, {entry}}, writer);
    } catch (const InputError& e) {
        if (e.key() == "chip" || e.key() == "device" || e.key() == "corrects") refuse_at(path, e);
        throw;
    }
}

}  // namespace tymbal

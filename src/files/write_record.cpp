#include "tymbal/files/write_record.h"

#include "figures.h"
#include "plain_name.h"

#include <algorithm>
#include <map>

namespace tymbal {

namespace {

RecordedChip shown(RecordedChip chip) {
    for (std::string* text : {&chip.name, &chip.title, &chip.file, &chip.sha256}) *text = printable(*text);
    for (RecordedDevice& d : chip.devices) d.name = printable(d.name);
    return chip;
}

std::vector<RecordEntry> shown(std::vector<RecordEntry> entries) {
    for (RecordEntry& e : entries) {
        for (std::string* text : {&e.step, &e.chip, &e.device, &e.date, &e.by, &e.note}) *text = printable(*text);
        for (RecordedValue& v : e.values)
            for (std::string* text : {&v.key, &v.text, &v.unit}) *text = printable(*text);
    }
    return entries;
}

/// The last figure that entries of some steps give one of some devices for one of some keys.
const RecordedValue* last_value(const std::vector<RecordEntry>& entries, const std::vector<std::string>& devices,
                                const std::vector<std::string>& steps, const std::vector<std::string>& keys) {
    const auto holds = [](const std::vector<std::string>& all, const std::string& one) {
        return std::find(all.begin(), all.end(), one) != all.end();
    };
    const RecordedValue* found = nullptr;
    for (const RecordEntry& e : entries) {
        if (!holds(devices, e.device) || !holds(steps, e.step)) continue;
        for (const std::string& key : keys)
            if (const RecordedValue* value = find_value(e, key)) found = value;
    }
    return found;
}

const RecordedValue* last_value(const std::vector<RecordEntry>& entries, const std::string& device,
                                const std::vector<std::string>& steps, const std::vector<std::string>& keys) {
    return last_value(entries, std::vector<std::string>{device}, steps, keys);
}

/// Micrometres and megahertz with their deviations, a dash where nothing is recorded.
std::string cell(const RecordedValue* value, double scale) {
    if (value == nullptr || !value->value) return "-";
    return with_uncertainty(*value->value, value->deviation.value_or(0.0), scale);
}

const std::vector<std::string> widths = names_of("hole_width");

std::string words_of(const RecordedValue* value) {
    return value == nullptr ? "-" : value->text;
}

/// What says something of the lowest mode: entries without a mode, and those of the mode that the program, which
/// records its lowest, has predicted or fitted for this device.
std::vector<RecordEntry> of_lowest_mode(const std::vector<RecordEntry>& entries, const std::string& device) {
    std::vector<std::string> lowest;
    for (const RecordEntry& e : entries) {
        const bool measured =
            std::any_of(e.files.begin(), e.files.end(), [](const auto& f) { return f.role == "measured"; });
        const RecordedValue* mode = find_value(e, "mode");
        if (e.device == device && mode != nullptr && (e.step == "predicted" || (e.step == "fitted" && measured)))
            lowest.push_back(mode->text);
    }
    std::vector<RecordEntry> out;
    for (const RecordEntry& e : entries) {
        const RecordedValue* mode = find_value(e, "mode");
        if (mode == nullptr || std::find(lowest.begin(), lowest.end(), mode->text) != lowest.end()) out.push_back(e);
    }
    return out;
}

/// As the cell is filled.
std::string measured_frequency(const std::vector<RecordEntry>& entries, const std::string& device) {
    const std::vector<RecordEntry> lowest = of_lowest_mode(entries, device);
    const RecordedValue* direct = last_value(lowest, device, {"measured"}, {"frequency"});
    return cell(direct != nullptr ? direct : last_value(lowest, device, {"fitted"}, {"frequency"}), 1e6);
}

void write_row(std::ostream& out, const std::vector<RecordEntry>& entries, const std::string& device) {
    const auto um = [&](const std::vector<std::string>& steps, const std::vector<std::string>& keys) {
        return cell(last_value(entries, device, steps, keys), 1e-6);
    };
    out << "  " << left(device.empty() ? "(all)" : device, 11)
        << in_column(um({"drawn", "patterned"}, {"drawn_width"}), 6) << in_column(um({"printed"}, widths), 15)
        << in_column(um({"etched"}, widths), 15)
        << in_column(um({"released", "inspected", "fitted"}, names_of("undercut")), 14)
        << in_column(measured_frequency(entries, device), 17) << '\n';
}

void write_second_row(std::ostream& out, const std::vector<RecordEntry>& entries, const std::string& device) {
    const std::vector<RecordEntry> lowest = of_lowest_mode(entries, device);
    const RecordedValue* q = last_value(lowest, device, {"measured", "fitted"}, {"q"});
    const RecordedValue* stress = last_value(entries, device, {"fitted", "measured"}, {"film.stress"});
    out << "  " << left(device.empty() ? "(all)" : device, 11)
        << in_column(words_of(last_value(entries, device, {"inspected", "released"}, {"inspection"})), 17)
        << in_column(cell(last_value(entries, device, {"inspected", "released"}, widths), 1e-6), 14)
        << in_column(cell(last_value(entries, device, {"predicted"}, {"frequency"}), 1e6), 14)
        << in_column(q != nullptr && q->value ? rough(*q->value) : "-", 8) << in_column(cell(stress, 1e6), 14) << '\n';
}

std::string named(const RecordedValue* value) {
    if (value == nullptr) return "";
    return value->value ? quantity_text(*value->value, value->deviation.value_or(0.0), value->unit) : value->text;
}

/// @param devices  "", and of a chip of one device that one, too
void write_shared(std::ostream& out, const std::vector<RecordEntry>& entries, const std::vector<std::string>& devices) {
    const struct {
        const char* words;
        std::vector<std::string> steps, keys;
    } lines[] = {{"film, as designed", {"drawn"}, {"film.stress"}},
                 {"film, as fitted", {"fitted"}, {"film.stress"}},
                 {"wafer", {"note", "printed", "etched", "released", "drawn"}, {"wafer"}},
                 {"bath", {"released"}, {"bath", "release.etchant"}},
                 {"time in the bath", {"released"}, names_of("time")},
                 {"mount", {"mounted", "measured"}, {"mount"}}};
    for (const auto& line : lines)
        if (const std::string text = named(last_value(entries, devices, line.steps, line.keys)); !text.empty())
            out << "  " << left(line.words, 34) << text << '\n';
}

std::string summary(const RecordEntry& e) {
    std::string text;
    for (const RecordedValue& v : e.values) {
        text.append(text.empty() ? "" : ", ").append(v.key).append(" ");
        text.append(v.value ? quantity_text(*v.value, v.deviation.value_or(0.0), v.unit) : v.text);
    }
    if (!e.note.empty()) text.append(text.empty() ? "" : "; ").append(e.note);
    if (!e.files.empty())
        text.append(text.empty() ? "" : "; ")
            .append(std::to_string(e.files.size()))
            .append(e.files.size() == 1 ? " file" : " files");
    return text;
}

void write_entry(std::ostream& out, const RecordEntry& e) {
    std::string head = std::string("  ").append(right(std::to_string(e.number), 6)).append("  ");
    head.append(left(e.date.substr(0, 10), 12)).append(left(e.step, 11)).append(left(e.device, 11)).append(" ");
    std::string text = summary(e);
    if (e.corrects) text = std::string("corrects ").append(std::to_string(*e.corrects)).append(": ").append(text);
    out << head << wrapped(out, text, head.size(), head.size()) << '\n';
}

const RecordedChip& chip_in(const RecordContents& record, const std::string& name) {
    return *std::find_if(record.chips.begin(), record.chips.end(),
                         [&](const RecordedChip& c) { return c.name == name; });
}

}  // namespace

void write_chip_page(std::ostream& out, const RecordContents& record, const std::string& name) {
    const RecordedChip chip = shown(chip_in(record, name));
    const std::vector<RecordEntry> all = shown(record.entries), entries = in_order_of_date(corrected(all));
    std::vector<std::string> devices;
    for (const RecordedDevice& d : chip.devices) devices.push_back(d.name);
    devices.emplace_back("");
    out << chip.name << "\n" << chip.file << ", SHA-256 " << chip.sha256.substr(0, 16) << "\n\nCHIP\n";
    write_shared(out, entries, chip.devices.size() == 1 ? devices : std::vector<std::string>{""});
    out << "\nDRAWN TO MEASURED  (hole widths and undercut in um; f of the lowest mode, MHz)\n";
    out << "  device     drawn        printed         etched      undercut       measured f\n";
    for (const std::string& d : devices) write_row(out, entries, d);
    out << "\nSEEN AND FOUND  (released hole width in um, f in MHz, stress in MPa)\n";
    out << "  device            inspection released hole   predicted f       Q        stress\n";
    for (const std::string& d : devices) write_second_row(out, entries, d);
    out << "\nLATEST ENTRIES  (of " << all.size() << ")\n";
    for (std::size_t k = all.size() - std::min<std::size_t>(all.size(), 6); k < all.size(); ++k)
        write_entry(out, all[k]);
}

void write_chip_list(std::ostream& out, const RecordContents& record) {
    struct Count {
        std::size_t entries = 0;
        std::string date, step;
    };
    std::map<std::string, Count> counts;
    for (const RecordEntry& e : record.entries) {
        Count& c = counts[e.chip];
        ++c.entries;
        c.date = e.date;
        c.step = e.step;
    }
    out << "CHIPS\n  name                            devices  entries  last\n";
    for (const RecordedChip& chip : record.chips) {
        const Count& c = counts[chip.name];
        out << "  " << left(printable(chip.name), 32) << in_column(std::to_string(chip.devices.size()), 7)
            << in_column(std::to_string(c.entries), 9) << "  " << printable(c.step) << ' '
            << printable(c.date.substr(0, 10)) << '\n';
    }
}

void write_entry_list(std::ostream& out, const RecordContents& record, const std::string& chip) {
    out << printable(chip) << "\n\nENTRIES\n  number  date        step       device      what\n";
    for (const RecordEntry& e : shown(record.entries)) write_entry(out, e);
}

}  // namespace tymbal

#include "record_rows.h"

#include "../text/figures.h"

#include <algorithm>

namespace tymbal {

namespace {

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

RecordRow row_of(const std::vector<RecordEntry>& entries, const std::string& device) {
    const std::vector<std::string> seen{"inspected", "released"};
    const auto text = [&](const std::vector<std::string>& steps, const std::vector<std::string>& keys, double scale) {
        return cell(last_value(entries, device, steps, keys), scale);
    };
    const RecordedValue* quality = last_value(of_lowest_mode(entries, device), device, {"measured", "fitted"}, {"q"});
    RecordRow row;
    row.device = device.empty() ? "(all)" : device;
    row.drawn = text({"drawn", "patterned"}, {"drawn_width"}, 1e-6);
    row.printed = text({"printed"}, widths, 1e-6);
    row.etched = text({"etched"}, widths, 1e-6);
    row.undercut = text({"released", "inspected", "fitted"}, names_of("undercut"), 1e-6);
    row.measured = measured_frequency(entries, device);
    row.inspection = words_of(last_value(entries, device, seen, {"inspection"}));
    row.released = text(seen, widths, 1e-6);
    row.predicted = text({"predicted"}, {"frequency"}, 1e6);
    row.quality = quality != nullptr && quality->value ? rough(*quality->value) : "-";
    row.stress = text({"fitted", "measured"}, {"film.stress"}, 1e6);
    return row;
}

std::string named(const RecordedValue* value) {
    if (value == nullptr) return "";
    return value->value ? quantity_text(*value->value, value->deviation.value_or(0.0), value->unit) : value->text;
}

}  // namespace

const RecordedChip& chip_in(const RecordContents& record, const std::string& name) {
    return *std::find_if(record.chips.begin(), record.chips.end(),
                         [&](const RecordedChip& c) { return c.name == name; });
}

std::vector<RecordRow> record_rows(const RecordedChip& chip, const std::vector<RecordEntry>& entries) {
    std::vector<RecordRow> rows;
    for (const RecordedDevice& d : chip.devices) rows.push_back(row_of(entries, d.name));
    rows.push_back(row_of(entries, ""));
    return rows;
}

std::vector<Fact> shared_facts(const RecordedChip& chip, const std::vector<RecordEntry>& entries) {
    std::vector<std::string> devices{""};
    if (chip.devices.size() == 1) devices.push_back(chip.devices.front().name);
    const struct {
        const char* words;
        std::vector<std::string> steps, keys;
    } lines[] = {{"film, as designed", {"drawn"}, {"film.stress"}},
                 {"film, as fitted", {"fitted"}, {"film.stress"}},
                 {"wafer", {"note", "printed", "etched", "released", "drawn"}, {"wafer"}},
                 {"bath", {"released"}, {"bath", "release.etchant"}},
                 {"time in the bath", {"released"}, names_of("time")},
                 {"mount", {"mounted", "measured"}, {"mount"}}};
    std::vector<Fact> facts;
    for (const auto& line : lines)
        if (const std::string text = named(last_value(entries, devices, line.steps, line.keys)); !text.empty())
            facts.push_back({line.words, text});
    return facts;
}

std::vector<RecordEntry> latest(const std::vector<RecordEntry>& all) {
    constexpr std::ptrdiff_t most = 6;
    return {all.end() - std::min(most, std::ssize(all)), all.end()};
}

std::string entry_words(const RecordEntry& e) {
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
    std::replace(text.begin(), text.end(), '\n', ' ');
    if (!e.corrects) return text;
    return std::string("corrects ").append(std::to_string(*e.corrects)).append(": ").append(text);
}

}  // namespace tymbal

// The page about a chip, in the order of its sections.
#include "../print/chip_rows.h"
#include "report_chip_parts.h"

#include "tymbal/page/plan_picture.h"
#include "tymbal/print/write_chip.h"
#include "tymbal/print/write_plan.h"
#include "tymbal/print/write_release.h"
#include "tymbal/text/version.h"

#include <algorithm>
#include <limits>

namespace tymbal {

namespace {

std::string title_of(const ChipReport& r) {
    return r.chip.title.empty() ? "Untitled chip" : r.chip.title;
}

/// Of the bath, which all devices share, then of modes.
std::vector<std::string> all_warnings(const ChipReport& r) {
    std::vector<std::string> all = r.release ? texts_of(r.release->warnings) : std::vector<std::string>{};
    for (const std::string& text : chip_warnings(r.prediction)) all.push_back(text);
    return all;
}

std::vector<Chapter> chapters(const ChipReport& r, bool record) {
    std::vector<Chapter> all{
        {"map", "Map"}, {"devices", "Devices"}, {"cards", "Each device"}, {"neighbours", "Modes that stand close"}};
    if (r.release) all.push_back({"release", "Release"});
    if (record) all.push_back({"record", "Record"});
    all.push_back(warnings_chapter(all_warnings(r).size()));
    all.push_back({"inputs", "Inputs"});
    return all;
}

/// Lowest modes of all devices, in the unit that suits the highest of them.
MapFigure lowest_modes(const ChipPrediction& chip) {
    const FrequencyUnit unit = unit_of(chip);
    MapFigure figure{std::string("lowest mode (").append(unit.name).append(")"), {}};
    for (const PredictedDevice& d : chip.devices)
        figure.values.push_back(d.prediction && !d.prediction->modes.empty()
                                    ? std::optional(d.prediction->modes.front().mode.frequency_hz / unit.scale)
                                    : std::nullopt);
    return figure;
}

std::string range_words(const ChipPrediction& chip) {
    double low = std::numeric_limits<double>::infinity(), high = 0.0;
    for (const auto& value : lowest_modes(chip).values)
        if (value) low = std::min(low, *value), high = std::max(high, *value);
    if (high == 0.0) return "no answer";
    const std::string unit = std::string(" ").append(unit_of(chip).name);
    return plain(low, 4) + (high > low ? " to " + plain(high, 4) : "") + unit;
}

std::string window_words(const CommonWindow& w) {
    if (!w.is_open()) return "none";
    return (w.opens_s ? duration(*w.opens_s) : "not known") + " to " +
           (w.closes_s ? duration(*w.closes_s) : "no limit");
}

void write_top(std::ostream& out, const ChipReport& r) {
    out << "<header>\n<h1>" << html(title_of(r)) << "</h1>\n<p class=\"small\">A chip of " << r.chip.devices.size()
        << " devices, " << html(plain(1e3 * r.chip.chip.width.si(), 4)) << " by "
        << html(plain(1e3 * r.chip.chip.length.si(), 4)) << " mm. Chip file " << r.chip.sha256.substr(0, 16)
        << ", tymbal " << version << ".</p>\n<dl class=\"glance\">\n";
    glance(out, "devices", std::to_string(r.chip.devices.size()));
    glance(out, "lowest modes", range_words(r.prediction));
    if (r.release) glance(out, "common window", window_words(r.release->window));
    if (r.release && r.release->time_s > 0.0)
        glance(out, "time of [release]", duration_with(r.release->time_s, r.release->time_deviation_s));
    glance(out, "warnings", std::to_string(all_warnings(r).size()));
    out << "</dl>\n</header>\n";
}

void write_map_section(std::ostream& out, const ChipReport& r) {
    begin_section(out, "map", "Map");
    out << "<div class=\"paper drawn map\">\n"
        << plan_picture(r.chip, lowest_modes(r.prediction), true)
        << "</div>\n<p class=\"small\">To scale. A device leads to its card.</p>\n";
    end_section(out);
}

void write_warnings_section(std::ostream& out, const ChipReport& r) {
    begin_section(out, "warnings", "Warnings and cautions");
    list_warnings(out, all_warnings(r));
    if (!r.release) list(out, {"the release is left out: " + r.release_missing});
    std::vector<std::string> cautions = r.release ? chip_cautions(*r.release) : std::vector<std::string>{};
    for (const std::string& caution : measurement_cautions()) cautions.push_back(caution);
    list_cautions(out, cautions);
    end_section(out);
}

}  // namespace

void write_report(std::ostream& out, const ChipReport& report, const std::optional<ReportedRecord>& record) {
    begin_page(out, title_of(report));
    out << "<a class=\"skip\" href=\"#map\">Skip to the map</a>\n";
    write_top(out, report);
    write_contents(out, chapters(report, record.has_value()));
    out << "<main>\n";
    write_map_section(out, report);
    write_devices_section(out, report);
    write_cards_section(out, report);
    write_neighbours_section(out, report.prediction);
    if (report.release) write_bath_section(out, *report.release);
    if (record) write_record_section(out, *record);
    write_warnings_section(out, report);
    write_chip_inputs_section(out, report.prediction);
    out << "</main>\n";
    end_page(out);
}

}  // namespace tymbal

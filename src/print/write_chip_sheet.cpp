#include "../text/figures.h"
#include "../text/markup.h"
#include "run_sheet_parts.h"

#include "tymbal/print/write_chip.h"
#include "tymbal/print/write_release.h"

#include <algorithm>

namespace tymbal {

namespace {

void write_bath(std::ostream& out, const ChipRelease& chip) {
    const CommonWindow& w = chip.window;
    const auto etched = std::find_if(chip.devices.begin(), chip.devices.end(),
                                     [](const ReleasedDevice& d) { return d.report.etch.has_value(); });
    const ReleaseReport& first = (etched != chip.devices.end() ? *etched : chip.devices.front()).report;
    begin_sheet_table(out, "Release: one bath for all devices");
    if (first.etch) sheet_etchant(out, *first.etch);
    if (chip.time_s > 0.0) sheet_row(out, "time of the design", duration_with(chip.time_s, chip.time_deviation_s));
    if (w.opens_s)
        sheet_row(out, "window opens: last oxide cleared",
                  duration(*w.opens_s) + " (" + comma_list(w.opened_by) + "); slow bath " + duration(w.opens_late_s));
    if (w.closes_s)
        sheet_row(out, "window closes",
                  duration(*w.closes_s) + " (" + w.closing_limit + " of " + comma_list(w.closed_by) + "); fast rates " +
                      duration(w.closes_early_s));
    if (!w.is_open())
        sheet_row(out, "common window",
                  chip.to_move.empty() ? "none" : "none; to another chip: " + comma_list(chip.to_move));
    sheet_bath(out, first.chosen_drying);
    out << "</table>\n";
}

void write_devices(std::ostream& out, const ChipRelease& chip) {
    begin_sheet_table(out, "Inspection: free / pillars / stuck / cracked corner / cracked ligament / missing / dirty");
    for (const ReleasedDevice& d : chip.devices) {
        std::string expected;
        if (d.report.front && d.report.front->regions > 0)
            expected = plain(1e6 * d.report.front->width_m, 4) + " x " + plain(1e6 * d.report.front->height_m, 4) +
                       " um free, " + std::to_string(d.report.front->pillars.size()) + " pillars";
        if (d.report.film)
            expected.append(expected.empty() ? "" : "; ").append(with_prefix(d.report.film->frequency_hz, "Hz", 4));
        sheet_row(out, d.name.c_str(), expected);
    }
    out << "</table>\n";
}

}  // namespace

void write_run_sheet(std::ostream& out, const ChipRelease& chip) {
    out << sheet_head() << "<h1>" << markup_text(chip.title.empty() ? "Run sheet" : chip.title)
        << "</h1>\n<p class=\"small\">run sheet of a chip of " << chip.devices.size() << " devices; chip file sha256 "
        << chip.sha256.substr(0, 16) << "; +- is one standard deviation</p>\n<table>\n";
    sheet_blank(out, "chip, wafer, date");
    out << "</table>\n";
    write_sheet_cautions(out, chip_cautions(chip));
    write_bath(out, chip);
    write_devices(out, chip);
    write_sheet_warnings(out, chip.warnings);
    out << "</body>\n</html>\n";
}

}  // namespace tymbal

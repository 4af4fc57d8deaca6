// What the etch does, in short; `tymbal release` tells all of it.
#include "../text/figures.h"
#include "report_figures.h"
#include "report_parts.h"

namespace tymbal {

namespace {

std::vector<Fact> front_facts(const FrontReport& f) {
    std::vector<Fact> rows;
    if (f.undercut) rows.push_back({"Undercut", with_prefix(f.undercut->si(), "m", 3)});
    rows.push_back({"Etch fronts merge at", with_prefix(f.merges_at_m, "m", 3)});
    if (f.clears_at_m > 0.0) rows.push_back({"Last oxide pillar clears at", with_prefix(f.clears_at_m, "m", 4)});
    if (f.undercut) rows.push_back({"Pillars left", std::to_string(f.pillars.size())});
    if (f.area_m2 > 0.0)
        rows.push_back({"Area set free", with_prefix(f.width_m, "m", 4) + " by " + with_prefix(f.height_m, "m", 4)});
    return rows;
}

void add_etch(std::vector<Fact>& rows, const EtchReport& e) {
    rows.push_back({"Etchant", e.etchant.empty() ? "rates of the design" : e.etchant + ": " + e.title});
    if (e.time_s > 0.0) rows.push_back({"Time for the undercut", duration_with(e.time_s, e.time_deviation_s)});
    if (e.clear_s > 0.0) rows.push_back({"Window opens", duration(e.clear_s)});
    for (const WindowEnd& end : e.ends) rows.push_back({"Window closes", duration(end.time_s) + ": " + end.limit});
    if (e.loss)
        rows.push_back({"Thickness left", with_prefix(e.mean_m, "m", 3) + " in the mean, " +
                                              with_prefix(e.at_holes_m, "m", 3) + " at the holes"});
}

void write_drying(std::ostream& out, const ReleaseReport& r) {
    const std::vector<Column> columns{{"drying", false}, {"collapse margin"}, {"adhesion margin"}};
    begin_table(out,
                "Drying; collapse margin: critical over actual surface tension; adhesion margin below 1: stays stuck "
                "once it has touched",
                columns);
    for (const DryingRow& d : r.drying)
        table_row(out, columns,
                  {d.row + (d.row == r.chosen_drying ? " (chosen)" : ""),
                   d.margin ? with_uncertainty(*d.margin, d.margin_deviation, 1.0) : "no meniscus",
                   d.adhesion_margin ? with_uncertainty(*d.adhesion_margin, d.adhesion_deviation, 1.0) : "-"});
    end_table(out);
}

}  // namespace

void write_release_section(std::ostream& out, const ReleaseReport& release) {
    begin_section(out, "release", "Release");
    std::vector<Fact> rows = release.front ? front_facts(*release.front) : std::vector<Fact>{};
    if (release.etch) add_etch(rows, *release.etch);
    if (!rows.empty()) facts(out, "Etch", rows);
    if (release.film && !release.drying.empty()) write_drying(out, release);
    end_section(out);
}

}  // namespace tymbal

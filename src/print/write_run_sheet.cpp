#include "tymbal/print/write_release.h"

#include "../text/figures.h"
#include "../text/markup.h"
#include "run_sheet_parts.h"

#include <string>

namespace tymbal {

namespace {

std::string micrometres(const HoleSize& s) {
    if (s.deviation == 0.0) return plain(1e6 * s.width, 4) + " um";
    return with_uncertainty(s.width, s.deviation, 1e-6) + " um";
}

void write_lithography(std::ostream& out, const ReleaseReport& r) {
    begin_sheet_table(out, "Lithography and dry etch");
    sheet_row(out, "hole as drawn", micrometres(r.holes->drawn));
    sheet_row(out, "hole as printed", micrometres(r.holes->printed));
    sheet_row(out, "hole as etched", micrometres(r.holes->etched));
    sheet_blank(out, "resist, dose, focus, develop");
    sheet_blank(out, "dry-etch recipe, time, over-etch");
    out << "</table>\n";
}

void write_release_rows(std::ostream& out, const ReleaseReport& r) {
    begin_sheet_table(out, "Release");
    if (r.etch) {
        sheet_etchant(out, *r.etch);
        if (r.etch->time_s > 0.0)
            sheet_row(out, "time for the undercut", duration_with(r.etch->time_s, r.etch->time_deviation_s));
        if (r.etch->clear_s > 0.0)
            sheet_row(out, "window opens: last oxide pillar cleared",
                      duration(r.etch->clear_s) + "; slow bath " + duration(r.etch->clear_late_s));
        for (const WindowEnd& end : r.etch->ends)
            sheet_row(out, "window closes",
                      duration(end.time_s) + " (" + end.limit + "); fast rates " + duration(end.early_s));
    }
    if (r.front && r.front->undercut)
        sheet_row(out, "undercut on the ruler",
                  micrometres(HoleSize{r.front->undercut->si(), r.front->undercut->deviation_si()}));
    sheet_bath(out, r.chosen_drying);
    out << "</table>\n";
}

void write_inspection(std::ostream& out, const ReleaseReport& r) {
    begin_sheet_table(out, "Inspection");
    if (r.holes) sheet_row(out, "hole as released", micrometres(r.holes->released));
    if (r.front && r.front->regions > 0)
        sheet_row(out, "area set free",
                  plain(1e6 * r.front->width_m, 4) + " x " + plain(1e6 * r.front->height_m, 4) + " um");
    if (r.front) sheet_row(out, "pillars left", std::to_string(r.front->pillars.size()));
    if (r.etch && r.etch->loss)
        sheet_row(out, "film thickness, mean (holes, rim)",
                  plain(1e9 * r.etch->mean_m, 3) + " (" + plain(1e9 * r.etch->at_holes_m, 3) + ", " +
                      plain(1e9 * r.etch->at_rim_m, 3) + ") nm");
    if (r.film) sheet_row(out, "lowest frequency", with_prefix(r.film->frequency_hz, "Hz", 4));
    sheet_blank(out, "free / pillars / stuck / cracked corner / cracked ligament / missing / dirty");
    out << "</table>\n";
}

}  // namespace

void write_run_sheet(std::ostream& out, const ReleaseReport& r) {
    out << sheet_head() << "<h1>" << markup_text(r.title.empty() ? "Run sheet" : r.title)
        << "</h1>\n<p class=\"small\">run sheet; design sha256 " << r.sha256.substr(0, 16)
        << "; +- is one standard deviation</p>\n<table>\n";
    sheet_blank(out, "chip, wafer, date");
    out << "</table>\n";
    write_sheet_cautions(out, release_cautions(r));
    if (r.holes) write_lithography(out, r);
    write_release_rows(out, r);
    write_inspection(out, r);
    write_sheet_warnings(out, r.warnings);
    out << "</body>\n</html>\n";
}

}  // namespace tymbal

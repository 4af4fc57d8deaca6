#include "tymbal/files/write_release.h"

#include "figures.h"
#include "markup.h"

#include <string>

namespace tymbal {

namespace {

constexpr const char* head = R"(<!doctype html>
<html lang="en">
<head>
<meta charset="utf-8">
<meta name="viewport" content="width=device-width, initial-scale=1">
<title>Run sheet</title>
<style>
body { font: 10.5pt/1.35 Georgia, serif; max-width: 48em; margin: 1em auto; padding: 0 1em; color: #1b1b1b; background: #fff }
h1 { font-size: 15pt; margin: 0 0 .2em } h2 { font-size: 11.5pt; margin: 1em 0 .3em; border-bottom: 1px solid #888 }
table { border-collapse: collapse; width: 100% } th, td { text-align: left; padding: .18em .5em .18em 0; vertical-align: top }
th { font-weight: normal; width: 34% } td.done { border-bottom: 1px dotted #666; width: 26% }
.small { font-size: 9pt; color: #444 } ul { margin: .3em 0; padding-left: 1.2em } .caution { border: 1.5px solid #a33; padding: .3em .8em }
@page { margin: 12mm }
@media print { body { font-size: 8.8pt; line-height: 1.22; margin: 0; padding: 0; max-width: none } h1 { font-size: 13pt }
h2 { font-size: 10pt; margin: .6em 0 .2em; break-after: avoid } th, td { padding-top: .1em; padding-bottom: .1em } .caution { break-inside: avoid } }
</style>
</head>
<body>
)";

void begin(std::ostream& out, const char* heading) {
    out << "<h2>" << heading
        << "</h2>\n<table>\n<tr><th scope=\"col\"></th><th scope=\"col\" class=\"small\">expected</th>"
           "<th scope=\"col\" class=\"small\">done, measured</th></tr>\n";
}

void row(std::ostream& out, const char* what, const std::string& expected) {
    out << "<tr><th scope=\"row\">" << what << "</th><td>" << markup_text(expected)
        << "</td><td class=\"done\"></td></tr>\n";
}

void blank(std::ostream& out, const char* what) {
    row(out, what, "");
}

std::string micrometres(const HoleSize& s) {
    if (s.deviation == 0.0) return plain(1e6 * s.width, 4) + " um";
    return with_uncertainty(s.width, s.deviation, 1e-6) + " um";
}

void write_lithography(std::ostream& out, const ReleaseReport& r) {
    begin(out, "Lithography and dry etch");
    row(out, "hole as drawn", micrometres(r.holes->drawn));
    row(out, "hole as printed", micrometres(r.holes->printed));
    row(out, "hole as etched", micrometres(r.holes->etched));
    blank(out, "resist, dose, focus, develop");
    blank(out, "dry-etch recipe, time, over-etch");
    out << "</table>\n";
}

void write_release_rows(std::ostream& out, const ReleaseReport& r) {
    begin(out, "Release");
    if (r.etch) {
        row(out, "etchant", r.etch->etchant.empty() ? "not named" : r.etch->etchant + ": " + r.etch->title);
        if (r.etch->time_s > 0.0)
            row(out, "time for the undercut", duration_with(r.etch->time_s, r.etch->time_deviation_s));
        if (r.etch->clear_s > 0.0)
            row(out, "window opens: last oxide pillar cleared",
                duration(r.etch->clear_s) + "; slow bath " + duration(r.etch->clear_late_s));
        for (const WindowEnd& end : r.etch->ends)
            row(out, "window closes",
                duration(end.time_s) + " (" + end.limit + "); fast rates " + duration(end.early_s));
    }
    if (r.front && r.front->undercut)
        row(out, "undercut on the ruler",
            micrometres(HoleSize{r.front->undercut->si(), r.front->undercut->deviation_si()}));
    blank(out, "bath: strength, temperature, age");
    blank(out, "time in, time out, operator");
    blank(out, "rinse chain");
    row(out, "drying", r.chosen_drying);
    out << "</table>\n";
}

void write_inspection(std::ostream& out, const ReleaseReport& r) {
    begin(out, "Inspection");
    if (r.holes) row(out, "hole as released", micrometres(r.holes->released));
    if (r.front && r.front->regions > 0)
        row(out, "area set free", plain(1e6 * r.front->width_m, 4) + " x " + plain(1e6 * r.front->height_m, 4) + " um");
    if (r.front) row(out, "pillars left", std::to_string(r.front->pillars.size()));
    if (r.etch && r.etch->loss)
        row(out, "film thickness, mean (holes, rim)",
            plain(1e9 * r.etch->mean_m, 3) + " (" + plain(1e9 * r.etch->at_holes_m, 3) + ", " +
                plain(1e9 * r.etch->at_rim_m, 3) + ") nm");
    if (r.film) row(out, "lowest frequency", with_prefix(r.film->frequency_hz, "Hz", 4));
    blank(out, "free / pillars / stuck / cracked corner / cracked ligament / missing / dirty");
    out << "</table>\n";
}

}  // namespace

void write_run_sheet(std::ostream& out, const ReleaseReport& r) {
    out << head << "<h1>" << markup_text(r.title.empty() ? "Run sheet" : r.title)
        << "</h1>\n<p class=\"small\">run sheet; design sha256 " << r.sha256.substr(0, 16)
        << "; +- is one standard deviation</p>\n<table>\n";
    blank(out, "chip, wafer, date");
    out << "</table>\n<div class=\"caution\"><h2>Cautions</h2><ul>\n";
    for (const std::string& caution : release_cautions(r)) out << "<li>" << markup_text(caution) << "</li>\n";
    out << "</ul></div>\n";
    if (r.holes) write_lithography(out, r);
    write_release_rows(out, r);
    write_inspection(out, r);
    if (!r.warnings.empty()) {
        out << "<h2>Warnings</h2>\n<ul>\n";
        for (const Warning& w : r.warnings) out << "<li>" << markup_text(w.text) << "</li>\n";
        out << "</ul>\n";
    }
    out << "</body>\n</html>\n";
}

}  // namespace tymbal

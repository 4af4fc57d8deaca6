#include "run_sheet_parts.h"

#include "../text/markup.h"

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

}  // namespace

const char* sheet_head() {
    return head;
}

void begin_sheet_table(std::ostream& out, const char* heading) {
    out << "<h2>" << heading
        << "</h2>\n<table>\n<tr><th scope=\"col\"></th><th scope=\"col\" class=\"small\">expected</th>"
           "<th scope=\"col\" class=\"small\">done, measured</th></tr>\n";
}

void sheet_row(std::ostream& out, const char* what, const std::string& expected) {
    out << "<tr><th scope=\"row\">" << what << "</th><td>" << markup_text(expected)
        << "</td><td class=\"done\"></td></tr>\n";
}

void sheet_blank(std::ostream& out, const char* what) {
    sheet_row(out, what, "");
}

void sheet_etchant(std::ostream& out, const EtchReport& etch) {
    sheet_row(out, "etchant", etch.etchant.empty() ? "not named" : etch.etchant + ": " + etch.title);
}

void sheet_bath(std::ostream& out, const std::string& drying) {
    sheet_blank(out, "bath: strength, temperature, age");
    sheet_blank(out, "time in, time out, operator");
    sheet_blank(out, "rinse chain");
    sheet_row(out, "drying", drying);
}

void write_sheet_cautions(std::ostream& out, const std::vector<std::string>& cautions) {
    out << "<div class=\"caution\"><h2>Cautions</h2><ul>\n";
    for (const std::string& caution : cautions) out << "<li>" << markup_text(caution) << "</li>\n";
    out << "</ul></div>\n";
}

void write_sheet_warnings(std::ostream& out, const Warnings& warnings) {
    if (warnings.empty()) return;
    out << "<h2>Warnings</h2>\n<ul>\n";
    for (const Warning& w : warnings) out << "<li>" << markup_text(w.text) << "</li>\n";
    out << "</ul>\n";
}

}  // namespace tymbal

#include "report_figures.h"
#include "style.h"

#include "../text/markup.h"
#include "plan_canvas.h"
#include "svg_shapes.h"

namespace tymbal {

namespace {

void replace_all(std::string& text, const std::string& from, const std::string& to) {
    for (std::size_t at = text.find(from); at != std::string::npos; at = text.find(from, at + to.size()))
        text.replace(at, from.size(), to);
}

/// Keys such as film.poisson_ratio may break behind their point.
std::string breakable(std::string heading) {
    replace_all(heading, ".", ".<wbr>");
    return heading;
}

std::string in_cell(const Column& column, const std::string& text) {
    if (column.link.empty()) return html(text);
    return "<a href=\"#" + column.link + markup_text(text) + "\">" + html(text) + "</a>";
}

std::string fills(char map, const std::vector<Rgb>& ramp) {
    std::string rules;
    for (std::size_t k = 0; k < ramp.size(); ++k)
        rules.append(".").append(1, map).append(std::to_string(k)).append("{fill:").append(hex(ramp[k])).append("}");
    return rules;
}

std::string both_maps(Page page) {
    return fills('d', diverging_ramp(diverging_bands, page))
        .append(fills('s', sequential_ramp(sequential_bands, page)));
}

}  // namespace

std::string html(const std::string& text) {
    std::string out = markup_text(text);
    replace_all(out, "+-", "\u00b1");
    replace_all(out, " um", " \u00b5m");
    replace_all(out, " uW", " \u00b5W");
    replace_all(out, "m^2", "m\u00b2");
    replace_all(out, "m^3", "m\u00b3");
    replace_all(out, "rtHz", "\u221aHz");
    return out;
}

void begin_page(std::ostream& out, const std::string& title) {
    out << "<!doctype html>\n<html lang=\"en\">\n<head>\n<meta charset=\"utf-8\">\n<meta name=\"viewport\" "
           "content=\"width=device-width, initial-scale=1\">\n<meta name=\"color-scheme\" content=\"light "
           "dark\">\n<link "
           "rel=\"icon\" href=\"data:,\">\n<title>"
        << html(title) << "</title>\n<style>\n"
        << report_css << colour_rules() << dark_plan_rules() << "</style>\n</head>\n<body>\n";
}

void end_page(std::ostream& out, std::string_view script) {
    if (!script.empty()) out << "<script>\n" << script << "</script>\n";
    out << "</body>\n</html>\n";
}

void write_contents(std::ostream& out, const std::vector<Chapter>& chapters) {
    out << "<nav aria-label=\"Contents\">\n<ol>\n";
    for (const Chapter& c : chapters) out << "<li><a href=\"#" << c.id << "\">" << html(c.name) << "</a></li>\n";
    out << "</ol>\n</nav>\n";
}

Chapter warnings_chapter(std::size_t warnings) {
    std::string name = "Warnings and cautions";
    if (warnings > 0) name.append(" (").append(std::to_string(warnings)).append(")");
    return {"warnings", name};
}

void glance(std::ostream& out, const std::string& name, const std::string& value) {
    out << "<div><dt>" << html(name) << "</dt><dd>" << html(value) << "</dd></div>\n";
}

void begin_table(std::ostream& out, const std::string& caption, const std::vector<Column>& columns) {
    out << "<div class=\"scroll\" role=\"region\" tabindex=\"0\" aria-label=\"Table: " << html(caption)
        << "\">\n<table>\n<caption>" << html(caption) << "</caption>\n<thead><tr>";
    for (const Column& c : columns)
        out << "<th scope=\"col\"" << (c.number ? " class=\"n\"" : "") << '>' << breakable(html(c.heading)) << "</th>";
    out << "</tr></thead>\n<tbody>\n";
}

void end_table(std::ostream& out) {
    out << "</tbody>\n</table>\n</div>\n";
}

void table_row(std::ostream& out, const std::vector<Column>& columns, const std::vector<std::string>& cells,
               const std::string& more) {
    out << "<tr" << (more.empty() ? "" : " ") << more << '>';
    for (std::size_t k = 0; k < cells.size(); ++k) {
        const char* kind = columns[k].number ? " class=\"n\"" : "";
        if (k == 0)
            out << "<th scope=\"row\"" << kind << '>' << in_cell(columns[k], cells[k]) << "</th>";
        else
            out << "<td" << kind << '>' << in_cell(columns[k], cells[k]) << "</td>";
    }
    out << "</tr>\n";
}

void facts(std::ostream& out, const std::string& caption, const std::vector<Fact>& rows) {
    out << "<table class=\"facts\">\n<caption>" << html(caption) << "</caption>\n<tbody>\n";
    for (const Fact& row : rows)
        out << "<tr><th scope=\"row\">" << html(row.name) << "</th><td>" << html(row.value) << "</td></tr>\n";
    out << "</tbody>\n</table>\n";
}

void list(std::ostream& out, const std::vector<std::string>& sentences) {
    out << "<ul>\n";
    for (const std::string& s : sentences) out << "<li>" << html(s) << "</li>\n";
    out << "</ul>\n";
}

void list_warnings(std::ostream& out, const std::vector<std::string>& warnings) {
    out << "<h3>Warnings</h3>\n";
    if (warnings.empty())
        out << "<p>None.</p>\n";
    else
        list(out, warnings);
}

void list_cautions(std::ostream& out, const std::vector<std::string>& cautions) {
    out << "<h3>Cautions</h3>\n<div class=\"caution\">\n";
    list(out, cautions);
    out << "</div>\n";
}

void begin_section(std::ostream& out, const char* id, const char* heading) {
    out << "<section id=\"" << id << "\">\n<h2>" << heading << "</h2>\n";
}

void end_section(std::ostream& out) {
    out << "</section>\n";
}

std::string colour_rules() {
    const std::string light = both_maps(Page::light);
    return light + "\n@media screen and (prefers-color-scheme:dark){" + both_maps(Page::dark) + "}\n";
}

void colour_bar(std::ostream& out, char map, const std::vector<std::string>& labels, const std::string& title) {
    constexpr double width = 300.0, height = 14.0, side = 30.0;
    const std::size_t bands = labels.size() - 1;
    const double step = width / static_cast<double>(bands);
    out << "<svg class=\"bar\" viewBox=\"0 0 " << coordinate(width + 2.0 * side) << " 36\" role=\"img\" aria-label=\""
        << html(title) << "\">\n";
    for (std::size_t k = 0; k < bands; ++k)
        out << "<rect class=\"" << map << k << "\" x=\"" << coordinate(side + step * static_cast<double>(k))
            << "\" y=\"1\" width=\"" << coordinate(step) << "\" height=\"" << coordinate(height) << "\"/>";
    out << "<rect class=\"edge\" x=\"" << coordinate(side) << "\" y=\"1\" width=\"" << coordinate(width)
        << "\" height=\"" << coordinate(height) << "\"/>\n";
    for (std::size_t k = 0; k < labels.size(); ++k)
        if (!labels[k].empty())
            out << "<text x=\"" << coordinate(side + step * static_cast<double>(k)) << "\" y=\"30\">" << html(labels[k])
                << "</text>";
    out << "</svg>\n";
}

}  // namespace tymbal

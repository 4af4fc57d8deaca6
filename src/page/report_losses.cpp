// The loss budget of each mode as bars on one logarithmic axis, with the numbers beside them.
#include "../print/loss_words.h"
#include "../text/figures.h"
#include "report_figures.h"
#include "report_parts.h"
#include "svg_shapes.h"

#include <algorithm>
#include <cmath>

namespace tymbal {

namespace {

constexpr double bar_width = 260.0;

/// Loss 1/Q on a logarithmic axis of whole decades.
struct LossAxis {
    int low = 0, high = 0;  ///< powers of ten
    [[nodiscard]] double operator()(double loss) const {
        const double place = (std::log10(loss) - low) / (high - low);
        return bar_width * std::clamp(place, 0.0, 1.0);
    }
};

LossAxis axis_of(const std::vector<PredictedMode>& modes) {
    double least = 1e300, most = 0.0;
    for (const PredictedMode& m : modes)
        for (const LossTerm& term : m.losses.terms) {
            if (term.name == "intrinsic" || !term.quality) continue;
            least = std::min(least, 1.0 / term.quality->high);
            most = std::max(most, 1.0 / term.quality->low);
        }
    if (!(most > 0.0)) return {-8, -4};
    const int high = static_cast<int>(std::ceil(std::log10(most)));
    return {std::max(static_cast<int>(std::floor(std::log10(least))), high - 14), high};
}

std::string decade_lines(const LossAxis& axis) {
    std::string path;
    for (int decade = axis.low; decade <= axis.high; ++decade)
        path.append("M").append(coordinate(axis(std::pow(10.0, decade)))).append(" 0v16");
    return path;
}

/// A bar to the middle of the band, a thin line over all of it.
void draw_bar(std::ostream& out, const LossAxis& axis, const QualityBand& q, const char* kind) {
    const double low = axis(1.0 / q.high), high = axis(1.0 / q.low);
    out << "<svg class=\"loss\" viewBox=\"0 0 260 16\" preserveAspectRatio=\"none\" aria-hidden=\"true\" "
           "focusable=\"false\"><use "
           "href=\"#decades\"/>"
        << "<rect class=\"" << kind << "\" y=\"3\" width=\"" << coordinate(axis(1.0 / q.value)) << "\" height=\"10\"/>";
    if (high - low > 0.5)
        out << "<path class=\"band\" d=\"M" << coordinate(low) << " 8H" << coordinate(high) << 'M' << coordinate(low)
            << " 4v8M" << coordinate(high) << " 4v8\"/>";
    out << "</svg>";
}

/// The band may go below its middle where the page is narrow.
std::string quality_markup(const QualityBand& q) {
    if (q.low == q.high) return rough(q.value);
    return rough(q.value) + " <span class=\"whole\">(" + rough(q.low) + " to " + rough(q.high) + ")</span>";
}

void write_row(std::ostream& out, const LossAxis& axis, const std::string& name, const QualityBand& q,
               const std::string& trust, bool limits) {
    out << "<tr" << (limits ? " class=\"limits\"" : "") << "><th scope=\"row\">" << html(name)
        << (limits ? " <span class=\"tag\">sets Q</span>" : "") << "</th><td class=\"n\">" << quality_markup(q)
        << "</td><td class=\"barcell\">";
    draw_bar(out, axis, q, name == "total" ? "sum" : limits ? "first" : "part");
    out << "</td><td>" << html(trust) << "</td></tr>\n";
}

/// Labels are text of the page, not of the picture: a narrow page shrinks the bars, not the letters.
void write_axis_heading(std::ostream& out, const LossAxis& axis) {
    out << "<th scope=\"col\">loss 1/Q<div class=\"axis\" aria-hidden=\"true\">";
    const int step = (axis.high - axis.low + 3) / 4;
    const auto label = [&](int decade, const char* place) {
        out << "<span class=\"" << place
            << "\" style=\"left:" << coordinate(100.0 * (decade - axis.low) / (axis.high - axis.low)) << "%\">1e"
            << decade << "</span>";
    };
    label(axis.low, "lead");
    for (int decade = axis.low + step; decade <= axis.high - step; decade += step) label(decade, "mid");
    label(axis.high, "trail");
    out << "</div></th>";
}

void write_mode(std::ostream& out, const LossAxis& axis, const PredictedMode& m) {
    const std::string name = std::to_string(m.mode.index) + " " + m.mode.label + ", " + frequency_text(m.mode);
    out << "<div class=\"scroll\" role=\"region\" tabindex=\"0\" aria-label=\"Losses of mode " << html(name)
        << "\" data-mode=\"" << m.mode.index << "\">\n<table class=\"losses\">\n<caption>Mode " << html(name)
        << "</caption>\n<thead><tr><th scope=\"col\">mechanism</th><th scope=\"col\" class=\"n\">Q (band)</th>";
    write_axis_heading(out, axis);
    out << "<th scope=\"col\">trust</th></tr></thead>\n<tbody>\n";
    for (const LossTerm& term : m.losses.terms)
        if (term.quality && term.name != "intrinsic")
            write_row(out, axis, heading(term.name), *term.quality, to_string(term.trust),
                      term.name == m.losses.limited_by);
    write_row(out, axis, "total", m.losses.total, "", false);
    out << "</tbody>\n</table>\n</div>\n";
}

/// Formula, source and validity, once: they are the same for all modes.
void write_grounds(std::ostream& out, const LossBudget& losses) {
    const std::vector<Column> columns{{"term", false}, {"formula", false}, {"source", false}, {"note", false}};
    out << "<details>\n<summary>How each loss is obtained</summary>\n";
    begin_table(out, "Grounds of the loss budget, notes for the lowest mode", columns);
    for (const LossTerm& term : losses.terms)
        table_row(out, columns, {heading(term.name), term.formula, term.source, term.note});
    end_table(out);
    out << "</details>\n";
}

}  // namespace

void write_losses_section(std::ostream& out, const Report& report) {
    const LossAxis axis = axis_of(report.prediction.modes);
    begin_section(out, "losses", "Loss budget");
    out << "<svg class=\"shared\" aria-hidden=\"true\" focusable=\"false\"><defs><path id=\"decades\" "
           "class=\"decades\" "
           "d=\""
        << decade_lines(axis)
        << "\"/></defs></svg>\n<p>Each bar reaches to the middle of its band, the thin line spans the band; one axis "
           "for "
           "all modes, a line per decade. A longer bar is a larger loss.</p>\n<div class=\"budgets\">\n";
    for (const PredictedMode& m : report.prediction.modes) write_mode(out, axis, m);
    out << "</div>\n";
    write_grounds(out, report.prediction.modes.front().losses);
    end_section(out);
}

}  // namespace tymbal

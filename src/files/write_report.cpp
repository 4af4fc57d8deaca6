#include "tymbal/files/write_report.h"

#include "assets.h"
#include "figures.h"
#include "report_figures.h"
#include "report_parts.h"

#include "tymbal/files/version.h"
#include "tymbal/files/write_plan.h"
#include "tymbal/files/write_release.h"

#include <algorithm>
#include <utility>

namespace tymbal {

namespace {

std::string title_of(const Report& r) {
    return r.design.title.empty() ? "Untitled design" : r.design.title;
}

void write_head(std::ostream& out, const Report& r) {
    out << "<!doctype html>\n<html lang=\"en\">\n<head>\n<meta charset=\"utf-8\">\n<meta name=\"viewport\" "
           "content=\"width=device-width, initial-scale=1\">\n<meta name=\"color-scheme\" content=\"light "
           "dark\">\n<link "
           "rel=\"icon\" href=\"data:,\">\n<title>"
        << html(title_of(r)) << "</title>\n<style>\n"
        << report_css << colour_rules() << "</style>\n</head>\n<body>\n";
}

using Chapter = std::pair<const char*, const char*>;

std::vector<Chapter> chapters(const Report& r, bool sweep) {
    std::vector<Chapter> all{{"design", "Design"},       {"film", "Effective film"}, {"modes", "Modes"},
                             {"shapes", "Mode shapes"},  {"stress", "Stress"},       {"losses", "Loss budget"},
                             {"tolerance", "Tolerance"}, {"limits", "Limits"}};
    if (r.light) all.emplace_back("light", "Light on the holes");
    if (r.release) all.emplace_back("release", "Release");
    if (r.comparison) all.emplace_back("measured", "Measured");
    if (sweep) all.emplace_back("sweep", "Sweep");
    all.emplace_back("warnings", "Warnings and cautions");
    all.emplace_back("inputs", "Inputs");
    return all;
}

void glance(std::ostream& out, const char* name, const std::string& value) {
    out << "<div><dt>" << name << "</dt><dd>" << html(value) << "</dd></div>\n";
}

void write_top(std::ostream& out, const Report& r) {
    const PredictedMode& m = r.prediction.modes[static_cast<std::size_t>(r.target_mode - 1)];
    out << "<header>\n<h1>" << html(title_of(r)) << "</h1>\n<p class=\"small\">" << html(r.prediction.model)
        << " model: " << html(r.prediction.model_reason) << ". Design " << r.prediction.sha256.substr(0, 16)
        << ", tymbal " << version << ".</p>\n<dl class=\"glance\">\n";
    glance(out, ("mode " + html(m.mode.label)).c_str(), frequency_text(m.mode));
    glance(out, "Q", rough(m.losses.total.low) + " to " + rough(m.losses.total.high));
    glance(out, "Q f", rough(m.figures.qf_hz) + " Hz");
    glance(out, "effective mass", with_prefix(1e3 * m.figures.effective_mass_kg, "g", 3));
    glance(out, "stress left", with_prefix(r.prediction.film.stress_relaxed_mean_pa, "Pa", 3));
    glance(out, "fracture margin", plain(r.prediction.film.fracture_margin));
    out << "</dl>\n</header>\n";
}

void write_contents(std::ostream& out, const std::vector<Chapter>& all, std::size_t warnings) {
    out << "<nav aria-label=\"Contents\">\n<ol>\n";
    for (const auto& [id, name] : all) {
        out << "<li><a href=\"#" << id << "\">" << name;
        if (std::string("warnings") == id && warnings > 0) out << " (" << warnings << ")";
        out << "</a></li>\n";
    }
    out << "</ol>\n</nav>\n";
}

std::vector<std::string> all_warnings(const Report& r) {
    std::vector<std::string> texts;
    for (const Warning& w : r.prediction.warnings) texts.push_back(w.text);
    if (!r.release) return texts;
    for (const Warning& w : r.release->warnings)
        if (std::find(texts.begin(), texts.end(), w.text) == texts.end()) texts.push_back(w.text);
    return texts;
}

void write_warnings_section(std::ostream& out, const Report& r) {
    begin_section(out, "warnings", "Warnings and cautions");
    const std::vector<std::string> warnings = all_warnings(r);
    out << "<h3>Warnings</h3>\n";
    if (warnings.empty())
        out << "<p>None.</p>\n";
    else
        list(out, warnings);
    if (!r.release && r.design.release) list(out, {"the release is left out: " + r.release_missing});
    out << "<h3>Cautions</h3>\n<div class=\"caution\">\n";
    std::vector<std::string> cautions =
        r.design.release ? release_cautions(r.release.value_or(ReleaseReport{})) : std::vector<std::string>{};
    for (const std::string& caution : measurement_cautions()) cautions.push_back(caution);
    list(out, cautions);
    out << "</div>\n";
    end_section(out);
}

void write_body(std::ostream& out, const Report& r, const std::optional<ReportedSweep>& sweep) {
    write_drawing_section(out, r);
    write_film_section(out, r);
    write_mode_table_section(out, r);
    write_shapes_section(out, r);
    write_stress_section(out, r);
    write_losses_section(out, r);
    write_tolerance_section(out, r);
    write_limits_section(out, r);
    if (r.light) write_light_section(out, *r.light);
    if (r.release) write_release_section(out, *r.release);
    if (r.comparison) write_measured_section(out, *r.comparison);
    if (sweep) write_sweep_section(out, sweep->table, sweep->mode, r.prediction.sha256);
    write_warnings_section(out, r);
    write_inputs_section(out, r);
}

}  // namespace

void write_report(std::ostream& out, const Report& report, const std::optional<ReportedSweep>& sweep) {
    write_head(out, report);
    out << "<a class=\"skip\" href=\"#design\">Skip to the design</a>\n";
    write_top(out, report);
    write_contents(out, chapters(report, sweep.has_value()), all_warnings(report).size());
    out << "<main>\n";
    write_body(out, report, sweep);
    out << "</main>\n";
    write_field_data(out, report);
    out << "<script>\n" << report_js << "</script>\n</body>\n</html>\n";
}

}  // namespace tymbal

#include "tymbal/page/write_report.h"

#include "../text/figures.h"
#include "report_figures.h"
#include "report_parts.h"
#include "style.h"

#include "tymbal/print/write_plan.h"
#include "tymbal/print/write_release.h"
#include "tymbal/text/version.h"

#include <algorithm>

namespace tymbal {

namespace {

std::string title_of(const Report& r) {
    return r.design.title.empty() ? "Untitled design" : r.design.title;
}

std::vector<Chapter> chapters(const Report& r, bool sweep, std::size_t warnings) {
    std::vector<Chapter> all{{"design", "Design"},       {"film", "Effective film"}, {"modes", "Modes"},
                             {"shapes", "Mode shapes"},  {"stress", "Stress"},       {"losses", "Loss budget"},
                             {"tolerance", "Tolerance"}, {"limits", "Limits"}};
    if (r.light) all.push_back({"light", "Light on the holes"});
    if (r.cavity) all.push_back({"cavity", "In the cavity"});
    if (r.release) all.push_back({"release", "Release"});
    if (r.comparison) all.push_back({"measured", "Measured"});
    if (sweep) all.push_back({"sweep", "Sweep"});
    all.push_back(warnings_chapter(warnings));
    all.push_back({"inputs", "Inputs"});
    return all;
}

void write_top(std::ostream& out, const Report& r) {
    const PredictedMode& m = r.prediction.modes[static_cast<std::size_t>(r.target_mode - 1)];
    out << "<header>\n<h1>" << html(title_of(r)) << "</h1>\n<p class=\"small\">" << html(r.prediction.model)
        << " model: " << html(r.prediction.model_reason) << ". Design " << r.prediction.sha256.substr(0, 16)
        << ", tymbal " << version << ".</p>\n<dl class=\"glance\">\n";
    glance(out, "mode " + m.mode.label, frequency_text(m.mode));
    glance(out, "Q", rough(m.losses.total.low) + " to " + rough(m.losses.total.high));
    glance(out, "Q f", rough(m.figures.qf_hz) + " Hz");
    glance(out, "effective mass", with_prefix(1e3 * m.figures.effective_mass_kg, "g", 3));
    glance(out, "stress left", with_prefix(r.prediction.film.stress_relaxed_mean_pa, "Pa", 3));
    glance(out, "fracture margin", plain(r.prediction.film.fracture_margin));
    out << "</dl>\n</header>\n";
}

std::vector<std::string> all_warnings(const Report& r) {
    std::vector<std::string> texts;
    const auto add = [&](const Warnings& warnings) {
        for (const Warning& w : warnings)
            if (std::find(texts.begin(), texts.end(), w.text) == texts.end()) texts.push_back(w.text);
    };
    add(r.prediction.warnings);
    if (r.cavity) add(r.cavity->warnings);
    if (r.release) add(r.release->warnings);
    return texts;
}

void write_warnings_section(std::ostream& out, const Report& r) {
    begin_section(out, "warnings", "Warnings and cautions");
    list_warnings(out, all_warnings(r));
    if (!r.cavity_missing.empty()) list(out, {"the cavity is left out: " + r.cavity_missing});
    if (!r.release && r.design.release) list(out, {"the release is left out: " + r.release_missing});
    std::vector<std::string> cautions =
        r.design.release ? release_cautions(r.release.value_or(ReleaseReport{})) : std::vector<std::string>{};
    for (const std::string& caution : measurement_cautions()) cautions.push_back(caution);
    list_cautions(out, cautions);
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
    if (r.cavity) write_cavity_section(out, *r.cavity);
    if (r.release) write_release_section(out, *r.release);
    if (r.comparison) write_measured_section(out, *r.comparison);
    if (sweep) write_sweep_section(out, sweep->table, sweep->mode, r.prediction.sha256);
    write_warnings_section(out, r);
    write_inputs_section(out, r);
}

}  // namespace

void write_report(std::ostream& out, const Report& report, const std::optional<ReportedSweep>& sweep) {
    begin_page(out, title_of(report));
    out << "<a class=\"skip\" href=\"#design\">Skip to the design</a>\n";
    write_top(out, report);
    write_contents(out, chapters(report, sweep.has_value(), all_warnings(report).size()));
    out << "<main>\n";
    write_body(out, report, sweep);
    out << "</main>\n";
    write_field_data(out, report);
    end_page(out, report_js);
}

}  // namespace tymbal

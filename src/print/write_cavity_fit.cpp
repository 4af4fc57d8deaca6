#include "tymbal/print/write_cavity_fit.h"

#include "../text/csv.h"
#include "../text/figures.h"
#include "cavity_words.h"
#include "json_parts.h"

#include "tymbal/print/write_cavity.h"
#include "tymbal/text/svg_plot.h"

#include <cmath>
#include <limits>
#include <utility>

namespace tymbal {

namespace {

void fact(std::ostream& out, const char* what, const std::string& value) {
    out << "  " << left(what, 34) << wrapped(out, value, 36, 36) << '\n';
}

std::string with_deviation(double value, double deviation) {
    return quantity_text(value, deviation, "Hz");
}

/// Where the film is, counted as `tymbal cavity` counts it.
std::string place_text(const CavityFit& f) {
    std::string text = any_size(f.of_best_place, f.of_best_place_deviation);
    if (f.place)
        text.append("; so does the film ")
            .append(fixed(1e9 * f.place->position_m, 0))
            .append(" nm past a turning point, kappa/2pi ")
            .append(with_prefix(f.place->kappa_hz, "Hz", 3));
    return text;
}

void write_found(std::ostream& out, const CavityFit& f) {
    const SpringFit& fit = f.fit;
    out << "\nFOUND\n";
    fact(out, "g0/2pi", with_deviation(fit.g0_hz, f.g0_deviation_hz).append(", power as given"));
    fact(out, "  of what the best place has", place_text(f));
    fact(out, "kappa/2pi",
         with_deviation(fit.kappa_hz, fit.kappa_deviation_hz)
             .append(fit.kappa_is_found ? "" : ", by the design more than by the lines"));
    fact(out, "frequency without light", with_deviation(fit.frequency_hz, fit.frequency_deviation_hz));
    if (fit.linewidth_hz)
        fact(out, "width without light", with_deviation(*fit.linewidth_hz, fit.linewidth_deviation_hz));
    if (fit.misfit) fact(out, "chi^2 per degree of freedom", plain(*fit.misfit, 2));
}

void write_design_says(std::ostream& out, const CavityFit& f) {
    const CoupledMode& m = f.mode.mode;
    out << "\nTHE DESIGN HAS\n";
    fact(out, "g0/2pi, at the film's best place", with_prefix(m.g0_hz, "Hz", 3));
    fact(out, "kappa/2pi, over half a wavelength",
         with_prefix(f.kappa_least_hz, "Hz", 3).append(" to ").append(with_prefix(f.kappa_largest_hz, "Hz", 3)));
    fact(out, "  input mirror's share of it", any_size(f.input_share, f.input_share_deviation));
    fact(out, "frequency", with_deviation(m.frequency_hz, f.mode.frequency_deviation_hz));
    fact(out, "width, Q at mid-band", with_prefix(m.linewidth_hz, "Hz", 2));
}

void write_lines(std::ostream& out, const CavityFit& f) {
    const bool widths = f.fit.linewidth_hz.has_value();
    out << "\nLINES  (off: measured less fitted)\n    detuning       frequency        off";
    out << (widths ? "       width        off\n" : "\n");
    for (const DetunedLine& l : f.lines) {
        const DetunedLine fitted = line_at(f.fit, l.detuning_hz);
        out << in_column(signed_hz(l.detuning_hz, 3), 12) << in_column(with_prefix(l.frequency_hz, "Hz", 7), 16)
            << in_column(signed_hz(l.frequency_hz - fitted.frequency_hz, 2), 11);
        if (l.width_hz)
            out << in_column(with_prefix(*l.width_hz, "Hz", 3), 12)
                << in_column(signed_hz(*l.width_hz - *fitted.width_hz, 2), 11);
        out << '\n';
    }
}

Json line_json(const CavityFit& f, const DetunedLine& l) {
    const DetunedLine fitted = line_at(f.fit, l.detuning_hz);
    return {{"detuning_hz", number(l.detuning_hz)},
            {"frequency_hz", number(l.frequency_hz)},
            {"frequency_std_hz", l.frequency_deviation_hz > 0.0 ? number(l.frequency_deviation_hz) : Json(nullptr)},
            {"frequency_fit_hz", number(fitted.frequency_hz)},
            {"width_hz", number(l.width_hz)},
            {"width_std_hz", l.width_deviation_hz > 0.0 ? number(l.width_deviation_hz) : Json(nullptr)},
            {"width_fit_hz", f.fit.linewidth_hz ? number(fitted.width_hz) : Json(nullptr)}};
}

Json found_json(const CavityFit& f) {
    const SpringFit& fit = f.fit;
    return {{"g0_hz", number(fit.g0_hz)},
            {"g0_std_hz", number(f.g0_deviation_hz)},
            {"of_best_place", number(f.of_best_place)},
            {"of_best_place_std", number(f.of_best_place_deviation)},
            {"position_m", f.place ? number(f.place->position_m) : Json(nullptr)},
            {"kappa_hz", number(fit.kappa_hz)},
            {"kappa_std_hz", number(fit.kappa_deviation_hz)},
            {"kappa_from_lines", fit.kappa_is_found},
            {"frequency_hz", number(fit.frequency_hz)},
            {"frequency_std_hz", number(fit.frequency_deviation_hz)},
            {"linewidth_hz", number(fit.linewidth_hz)},
            {"linewidth_std_hz", fit.linewidth_hz ? number(fit.linewidth_deviation_hz) : Json(nullptr)},
            {"chi2_per_degree_of_freedom", number(fit.misfit)}};
}

Json design_json(const CavityFit& f) {
    return {{"g0_hz", number(f.mode.mode.g0_hz)},
            {"kappa_least_hz", number(f.kappa_least_hz)},
            {"kappa_largest_hz", number(f.kappa_largest_hz)},
            {"input_share", number(f.input_share)},
            {"input_share_std", number(f.input_share_deviation)},
            {"frequency_hz", number(f.mode.mode.frequency_hz)},
            {"frequency_std_hz", number(f.mode.frequency_deviation_hz)},
            {"linewidth_hz", number(f.mode.mode.linewidth_hz)}};
}

}  // namespace

void write_table(std::ostream& out, const CavityFit& f) {
    out << (f.title.empty() ? std::string("(no title)") : f.title) << '\n';
    const std::string what = f.measured.file + ": " + std::to_string(f.lines.size()) + " detunings, mode " +
                             f.mode.label + " under " + with_prefix(f.power_w, "W", 3) + " on the input mirror";
    out << wrapped(what, 0, 2) << '\n';
    write_found(out, f);
    write_design_says(out, f);
    write_lines(out, f);
    out << "\nNOTES\n";
    for (const std::string& note : f.measured.notes) out << "  " << wrapped(out, note, 2, 4) << '\n';
    out << "  "
        << wrapped(
               out,
               "g0 goes with one over the root of the power: one percent of power is half a percent of g0, which the "
               "deviation leaves out; detunings count from the resonance as the light has pushed it",
               2, 4)
        << '\n';
    for (const Warning& w : f.warnings) out << "  " << wrapped(out, "! " + w.text, 2, 4) << '\n';
    out << "\nCAUTIONS\n";
    for (const std::string& caution : cavity_cautions()) out << "  " << wrapped(out, caution, 2, 2) << '\n';
}

void write_csv(std::ostream& out, const CavityFit& f) {
    out << "detuning_hz,frequency_hz,frequency_std_hz,frequency_fit_hz,width_hz,width_std_hz,width_fit_hz\n";
    for (const DetunedLine& l : f.lines) {
        const DetunedLine fitted = line_at(f.fit, l.detuning_hz);
        const auto stated = [](double v) { return v > 0.0 ? std::optional<double>(v) : std::nullopt; };
        out << csv(l.detuning_hz) << ',' << csv(l.frequency_hz) << ',' << csv(stated(l.frequency_deviation_hz)) << ','
            << csv(fitted.frequency_hz) << ',' << csv(l.width_hz) << ',' << csv(stated(l.width_deviation_hz)) << ','
            << csv(f.fit.linewidth_hz ? fitted.width_hz : std::nullopt) << '\n';
    }
}

void write_json(std::ostream& out, const CavityFit& f) {
    Json root = json_head(f.title, f.sha256);
    root["file"] = f.measured.file;
    root["power_w"] = number(f.power_w);
    root["mode"] = {{"index", f.mode.index}, {"label", f.mode.label}};
    root["found"] = found_json(f);
    root["of_design"] = design_json(f);
    root["lines"] = Json::array();
    for (const DetunedLine& l : f.lines) root["lines"].push_back(line_json(f, l));
    root["notes"] = f.measured.notes;
    root["sources"] = sources_json(f.sources);
    root["warnings"] = warnings_json(f.warnings);
    root["cautions"] = cavity_cautions();
    print(out, root);
}

void write_plot(std::ostream& out, const CavityFit& f) {
    constexpr int points = 200;
    PlotCurve moved{"measured", {}, {}}, wide = moved, moved_fit{"fitted", {}, {}}, wide_fit = moved_fit;
    const auto add = [&](const DetunedLine& l, PlotCurve& move, PlotCurve& width) {
        move.x.push_back(1e-3 * l.detuning_hz);
        move.y.push_back(l.frequency_hz - f.fit.frequency_hz);
        width.x.push_back(1e-3 * l.detuning_hz);
        width.y.push_back(l.width_hz.value_or(std::numeric_limits<double>::quiet_NaN()));
    };
    for (const DetunedLine& l : f.lines) add(l, moved, wide);
    const double first = f.lines.front().detuning_hz, last = f.lines.back().detuning_hz;
    for (int k = 0; k <= points; ++k) add(line_at(f.fit, first + (last - first) * k / points), moved_fit, wide_fit);
    Plot plot{f.title.empty() ? "spring and damping by light" : f.title, "detuning (kHz)", false, {}};
    plot.panels.push_back({"spring (Hz)", {moved, moved_fit}});
    if (f.fit.linewidth_hz) plot.panels.push_back({"width (Hz)", {wide, wide_fit}});
    write_svg(out, plot);
}

}  // namespace tymbal

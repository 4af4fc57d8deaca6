// Effective film, modes, tolerance, limits and inputs as tables.
#include "../print/light_words.h"
#include "../print/limits_table.h"
#include "../text/figures.h"
#include "report_figures.h"
#include "report_parts.h"
#include "svg_shapes.h"

#include <algorithm>
#include <cmath>

namespace tymbal {

namespace {

std::vector<Fact> film_facts(const EffectiveFilm& f) {
    std::vector<Fact> rows;
    if (f.fill_factor) rows.push_back({"Open fraction of the hole field", plain(100.0 * *f.fill_factor) + " %"});
    rows.push_back({"Tension along x, y",
                    with_prefix(f.tension_x_n_per_m, "N/m") + ", " + with_prefix(f.tension_y_n_per_m, "N/m")});
    rows.push_back({"Mass per area", plain(f.areal_density_kg_per_m2, 4) + " kg/m\u00b2"});
    rows.push_back({"Mass", with_prefix(1e3 * f.mass_kg, "g")});
    rows.push_back({"Young's modulus", with_prefix(f.youngs_modulus_effective_pa, "Pa")});
    rows.push_back({"Poisson's ratio", plain(f.poisson_ratio_effective)});
    rows.push_back({"Shear modulus", with_prefix(f.shear_modulus_effective_pa, "Pa")});
    rows.push_back({"Bending stiffness", plain(f.bending_stiffness_n_m, 4) + " N m"});
    rows.push_back({"Clamped-edge layer", with_prefix(f.edge_layer_m, "m", 3)});
    if (f.static_stiffness_n_per_m)
        rows.push_back({"Static stiffness under the spot", with_prefix(*f.static_stiffness_n_per_m, "N/m")});
    rows.push_back({"Deflection per pressure", with_prefix(f.deflection_per_pressure_m_per_pa, "m/Pa")});
    return rows;
}

std::vector<Column> mode_columns(const Prediction& p, const char* unit, bool cavity) {
    std::vector<Column> columns{{"#"},
                                {"mode", false},
                                {std::string("f (").append(unit).append(")")},
                                {"f/f1"},
                                {"grid error"},
                                {"mass"},
                                {"k"},
                                {"Q, band"},
                                {"Q f (Hz)"},
                                {"zero point"},
                                {"force noise per rtHz"},
                                {"width"}};
    if (p.modes.front().figures.spot_overlap) columns.push_back({"spot"});
    if (cavity) columns.push_back({"g0/2pi"});
    return columns;
}

std::vector<std::string> mode_cells(const PredictedMode& m, double lowest, double scale, const Prediction& p,
                                    bool cavity) {
    const ModeFigures& g = m.figures;
    std::vector<std::string> cells{
        std::to_string(m.mode.index),
        m.mode.label,
        with_stated(m.mode.frequency_hz, m.mode.frequency_std_hz, m.mode.discretisation_error_hz, scale),
        fixed(m.mode.frequency_hz / lowest, 4),
        rough(m.mode.discretisation_error_hz / m.mode.frequency_hz),
        with_prefix(1e3 * g.effective_mass_kg, "g", 3),
        with_prefix(g.spring_constant_n_per_m, "N/m", 3),
        rough(m.losses.total.low) + " to " + rough(m.losses.total.high),
        rough(g.qf_hz),
        with_prefix(g.zero_point_m, "m", 3),
        with_prefix(g.thermal_force_noise_n_per_rthz, "N", 3),
        with_prefix(g.linewidth_hz, "Hz", 2)};
    if (p.modes.front().figures.spot_overlap) cells.push_back(overlap_text(g.spot_overlap.value_or(0.0)));
    if (cavity) cells.push_back(g.single_photon_coupling_hz ? with_prefix(*g.single_photon_coupling_hz, "Hz", 2) : "-");
    return cells;
}

std::string share_text(double share) {
    return share < 5e-4 ? "&lt;0.1" : fixed(100.0 * share, share < 0.1 ? 1 : 0);
}

void share_bar(std::ostream& out, double share) {
    out << "<svg class=\"loss\" viewBox=\"0 0 260 16\" aria-hidden=\"true\" focusable=\"false\"><path "
           "class=\"decades\" "
           "d=\"M0 0v16M130 0v16M260 0v16\"/><rect class=\"first\" y=\"3\" width=\""
        << coordinate(260.0 * share) << "\" height=\"10\"/></svg>";
}

void write_contributions(std::ostream& out, const Mode& mode) {
    out << "<div class=\"scroll\" role=\"region\" tabindex=\"0\" aria-label=\"Tolerance of one mode\">\n<table "
           "class=\"losses\">\n<caption>Mode "
        << mode.index << ' ' << html(mode.label) << ", " << html(frequency_text(mode))
        << "</caption>\n<thead><tr><th scope=\"col\">input</th><th scope=\"col\" class=\"n\">moves f by</th><th "
           "scope=\"col\">share of the variance, 0 to 100 %</th><th scope=\"col\" class=\"n\">known to</th><th "
           "scope=\"col\" class=\"n\">sensitivity</th></tr></thead>\n<tbody>\n";
    for (const Contribution& c : mode.contributions) {
        const double share = std::pow(c.share_hz / mode.frequency_std_hz, 2);
        out << "<tr><th scope=\"row\">" << html(c.input) << "</th><td class=\"n\">"
            << html(with_prefix(c.share_hz, "Hz", 2)) << "</td><td class=\"barcell\">";
        share_bar(out, share);
        out << "<span class=\"after\">" << share_text(share) << " %</span></td><td class=\"n\">"
            << plain(100.0 * c.relative_deviation, 2) << " %</td><td class=\"n\">" << plain(c.sensitivity, 2)
            << "</td></tr>\n";
    }
    out << "</tbody>\n</table>\n</div>\n";
}

/// All modes against the inputs that matter to the one above.
void write_all_tolerances(std::ostream& out, const std::vector<PredictedMode>& modes, const Mode& shown) {
    std::vector<Column> columns{{"#"}, {"mode", false}, {"all inputs"}};
    for (const Contribution& c : shown.contributions) columns.push_back({c.input});
    begin_table(out, "Every mode: by how much one deviation of each input moves its frequency", columns);
    for (const PredictedMode& m : modes) {
        std::vector<std::string> cells{
            std::to_string(m.mode.index), m.mode.label,
            m.mode.frequency_std_hz > 0.0 ? with_prefix(m.mode.frequency_std_hz, "Hz", 2) : "-"};
        for (const Contribution& wanted : shown.contributions) {
            const auto same = [&](const Contribution& c) { return c.input == wanted.input; };
            const auto found = std::find_if(m.mode.contributions.begin(), m.mode.contributions.end(), same);
            cells.push_back(found == m.mode.contributions.end() ? "-" : with_prefix(found->share_hz, "Hz", 2));
        }
        table_row(out, columns, cells, "data-row=\"" + std::to_string(m.mode.index) + "\"");
    }
    end_table(out);
}

/// By how much the value may still move, relative to the limit; negative: broken.
std::string margin_text(const LimitCheck& l) {
    const double away = l.limit != 0.0 ? std::abs(l.value / l.limit - 1.0) : 0.0;
    return std::string(l.held ? "" : "-").append(plain(100.0 * away, 3)).append(" %");
}

}  // namespace

void write_film_section(std::ostream& out, const Report& report) {
    begin_section(out, "film", "Effective film");
    const bool averaged = report.prediction.film.fill_factor.has_value();
    facts(out, averaged ? "The film after release, averaged over its holes" : "The film after release",
          film_facts(report.prediction.film));
    if (report.prediction.slab)
        out << "<p>At the readout wavelength it " << light_words(*report.prediction.slab) << ".</p>\n";
    end_section(out);
}

void write_mode_table_section(std::ostream& out, const Report& report) {
    const Prediction& p = report.prediction;
    const FrequencyUnit unit = frequency_unit(p.modes.back().mode.frequency_hz);
    const bool cavity = std::any_of(p.modes.begin(), p.modes.end(), [](const PredictedMode& m) {
        return m.figures.single_photon_coupling_hz.has_value();
    });
    const std::vector<Column> columns = mode_columns(p, unit.name, cavity);
    begin_section(out, "modes", "Modes");
    begin_table(out, "Modes; f +- one standard deviation; grid error: relative error of the solution; k: stiffness",
                columns);
    for (const PredictedMode& m : p.modes)
        table_row(out, columns, mode_cells(m, p.modes.front().mode.frequency_hz, unit.scale, p, cavity),
                  "data-row=\"" + std::to_string(m.mode.index) + "\"");
    end_table(out);
    out << "<p class=\"small\">mass, k and zero point at the antinode; force noise one-sided; width: full, at "
           "half "
           "maximum of power; spot: mean of the shape over the light.</p>\n";
    end_section(out);
}

void write_tolerance_section(std::ostream& out, const Report& report) {
    const std::vector<PredictedMode>& modes = report.prediction.modes;
    const Mode& shown = modes[static_cast<std::size_t>(report.target_mode - 1)].mode;
    begin_section(out, "tolerance", "Frequency tolerance");
    if (shown.contributions.empty()) {
        out << "<p>No input of this design carries an uncertainty.</p>\n";
    } else {
        write_contributions(out, shown);
        write_all_tolerances(out, modes, shown);
        out << "<p class=\"small\">sensitivity: relative change of the frequency over that of the input; inputs "
               "are taken as independent.</p>\n";
    }
    end_section(out);
}

void write_limits_section(std::ostream& out, const Report& report) {
    std::vector<LimitCheck> limits = report.prediction.limits;
    if (report.release)
        for (const LimitCheck& l : report.release->limits)  // what the prediction judges too stands there, finer solved
            if (std::none_of(limits.begin(), limits.end(), [&](const LimitCheck& m) { return m.key == l.key; }))
                limits.push_back(l);
    begin_section(out, "limits", "Limits");
    if (limits.empty()) {
        out << "<p>The design sets no limits.</p>\n";
    } else {
        const std::vector<Column> columns{{"limit", false}, {"state", false}, {"reached"}, {"wanted"}, {"margin"}};
        begin_table(out, "Limits of the design and how far away they are", columns);
        for (const LimitCheck& l : limits)
            table_row(out, columns,
                      {l.key, l.held ? "met" : "BROKEN", limit_text(l, l.value), limit_words(l), margin_text(l)},
                      l.held ? "" : "class=\"broken\"");
        end_table(out);
    }
    end_section(out);
}

void write_inputs_section(std::ostream& out, const Report& report) {
    const std::vector<Column> columns{{"input", false}, {"value"}, {"source", false}};
    begin_section(out, "inputs", "Inputs and their sources");
    begin_table(out, "Every input value; +- one standard deviation", columns);
    for (const SourceLine& s : report.prediction.sources)
        table_row(out, columns, {s.quantity, quantity_text(s.value, s.deviation, s.unit), s.source});
    end_table(out);
    end_section(out);
}

}  // namespace tymbal

#include "tymbal/print/write_table.h"

#include "../text/csv.h"
#include "../text/figures.h"
#include "field_words.h"
#include "light_words.h"
#include "limits_table.h"
#include "loss_words.h"

#include <algorithm>
#include <cmath>
#include <optional>

namespace tymbal {

namespace {

void line(std::ostream& out, const char* what, const std::string& value) {
    out << "  " << left(what, 34) << value << '\n';
}

/// A value and how far it may be off, where that is known.
std::string bounded(double value, std::optional<double> error, const char* unit) {
    const std::string text = with_prefix(value, unit);
    return error ? text + " +- " + with_prefix(*error, unit, 2) : text;
}

/// Deposited and relaxed, or one of them where the release changes nothing that is shown.
std::string stress_text(const EffectiveFilm& f) {
    constexpr double rounding = 1e-6;  // relative; a value on the edge of a digit prints as two
    const double change = f.stress_relaxed_mean_pa - f.stress_as_deposited_pa;
    const std::string before = with_prefix(f.stress_as_deposited_pa, "Pa", 4);
    const std::string after = with_prefix(f.stress_relaxed_mean_pa, "Pa", 4);
    const bool same = std::abs(change) <= rounding * std::abs(f.stress_as_deposited_pa) || before == after;
    return same ? before : before + " -> " + after;
}

std::string peak_text(const EffectiveFilm& f) {
    std::string text = with_prefix(f.stress_peak_von_mises_pa, "Pa", 3);
    if (f.stress_peak_error_pa > 0.0) text.append(" +- ").append(with_prefix(f.stress_peak_error_pa, "Pa", 2));
    return text.append("; fracture margin ").append(plain(f.fracture_margin));
}

void write_released(std::ostream& out, const ReleasedFilm& r) {
    const auto words = [&](const char* what, const std::string& text) { line(out, what, wrapped(out, text, 36, 36)); };
    words("thickness", thickness_words(r));
    if (r.taken) words("the etch takes", taken_words(r));
    words(r.set_free ? "outline, set free by the etch" : "outline",
          with_prefix(r.width_m, "m") + " x " + with_prefix(r.height_m, "m"));
    if (!r.field) return;
    words("field of holes", field_filled(*r.field));
    words("a row less or more from", next_fields(*r.field));
}

void write_film(std::ostream& out, const EffectiveFilm& f, const ReleasedFilm& released) {
    out << "FILM\n";
    write_released(out, released);
    if (f.hole_count > 0) {
        std::string holes = std::to_string(f.hole_count);
        if (f.fill_factor)
            holes.append(", open fraction of their cell ").append(plain(100.0 * *f.fill_factor)).append(" %");
        line(out, "holes", holes);
    }
    const std::string stress = stress_text(f);
    line(out, stress.find('>') != std::string::npos ? "stress, deposited -> relaxed mean" : "stress", stress);
    line(out, "largest stress", peak_text(f));
    line(out, "tension along x, y",
         with_prefix(f.tension_x_n_per_m, "N/m") + ", " + with_prefix(f.tension_y_n_per_m, "N/m"));
    line(out, "Young's modulus, Poisson's ratio",
         with_prefix(f.youngs_modulus_effective_pa, "Pa") + ", " + plain(f.poisson_ratio_effective));
    line(out, f.fill_factor ? "shear modulus (axes of the holes)" : "shear modulus",
         with_prefix(f.shear_modulus_effective_pa, "Pa"));
    line(out, "bending stiffness", plain(f.bending_stiffness_n_m, 4) + " N m");
    line(out, "clamped-edge layer", with_prefix(f.edge_layer_m, "m", 3));
    line(out, "mass", with_prefix(1e3 * f.mass_kg, "g"));
    if (f.static_stiffness_n_per_m)
        line(out, "static stiffness under the spot",
             bounded(*f.static_stiffness_n_per_m, f.static_stiffness_error_n_per_m, "N/m"));
    line(out, "deflection per pressure",
         bounded(f.deflection_per_pressure_m_per_pa, f.deflection_per_pressure_error_m_per_pa, "m/Pa"));
}

/// Columns that a wide page has room for.
void write_wide_heading(std::ostream& out, bool wide) {
    if (wide) out << in_column("Q", 18) << in_column("Q f (Hz)", 10);
}
void write_wide_cells(std::ostream& out, bool wide, const PredictedMode& m) {
    if (wide)
        out << in_column(rough(m.losses.total.low) + "..." + rough(m.losses.total.high), 18)
            << in_column(rough(m.figures.qf_hz), 10);
}

void write_modes(std::ostream& out, const Prediction& p) {
    const FrequencyUnit unit = frequency_unit(p.modes.back().mode.frequency_hz);
    const bool wide = page_width(out) >= 110;
    out << "\nMODES  (f +- one sigma of the inputs; grid error: relative; k: stiffness)\n";
    out << "   #  " << left("mode", 14) << in_column(std::string("f (").append(unit.name).append(")"), 18)
        << in_column("f/f" + std::to_string(p.modes.front().mode.number), 9) << in_column("grid error", 11)
        << in_column("mass", 9) << in_column("k", 11);
    write_wide_heading(out, wide);
    out << '\n';
    const double lowest = p.modes.front().mode.frequency_hz;
    for (const PredictedMode& m : p.modes) {
        out << "  " << right(std::to_string(m.mode.number), 2) << (m.mode.partner > 0 ? "= " : "  ")
            << left(m.mode.character.empty() ? m.mode.label : m.mode.character, 14)
            << in_column(with_stated(m.mode.frequency_hz, m.mode.frequency_std_hz, m.mode.discretisation_error_hz,
                                     unit.scale),
                         18)
            << in_column(fixed(m.mode.frequency_hz / lowest, 4), 9)
            << in_column(rough(m.mode.discretisation_error_hz / m.mode.frequency_hz), 11)
            << in_column(with_prefix(1e3 * m.figures.effective_mass_kg, "g", 3), 9)
            << in_column(with_prefix(m.figures.spring_constant_n_per_m, "N/m", 3), 11);
        write_wide_cells(out, wide, m);
        out << '\n';
    }
    if (std::any_of(p.modes.begin(), p.modes.end(), [](const PredictedMode& m) { return m.mode.partner > 0; }))
        out << "  = degenerate pair: equal within the errors\n";
    if (!stated(p.modes.front().mode.frequency_std_hz))
        out << "  - after a frequency: no input that moves it states a deviation\n";
}

void write_whereabouts(std::ostream& out, const Prediction& p) {
    if (!p.whereabouts_asked) return;
    out << "\nWHERE THE MODES LIVE  (bending: its share of the elastic energy)\n";
    out << "   #       antinode (um)   bending  of it at held rims  motion within\n";
    for (const PredictedMode& m : p.modes) {
        const Whereabouts& w = m.where;
        out << "  " << right(std::to_string(m.mode.number), 2)
            << in_column(fixed(1e6 * w.antinode.x, 1) + ", " + fixed(1e6 * w.antinode.y, 1), 20)
            << in_column(rough(w.bending_share), 10) << in_column(plain(100.0 * w.rim_share, 3) + " %", 20)
            << in_column(w.share_within ? plain(100.0 * *w.share_within, 3) + " %" : "-", 15) << '\n';
    }
    out << "  motion within: of the kinetic energy, the share inside the radius that\n  --within gives\n";
}

/// One figure, or both ends where it is an order of magnitude.
std::string dilution_cell(const Dilution& d) {
    const auto two_digits = [](double value) {
        const double digit = std::pow(10.0, std::floor(std::log10(value)) - 1.0);
        return fixed(std::round(value / digit) * digit, value < 10.0 ? 1 : 0);
    };
    return d.rough ? two_digits(d.low) + ".." + two_digits(d.high) : rough(d.factor);
}

void write_losses(std::ostream& out, const Prediction& p) {
    out << "\nLOSSES  (Q of each term as it acts on the mode, middle of its band)\n";
    out << "                                                thermo-\n";
    out << "   # dilution material radiation    gas    gap  elastic    total band  set by\n";
    for (const PredictedMode& m : p.modes) {
        const auto cell = [&](const char* name) {
            const LossTerm* term = term_of(m.losses, name);
            return term != nullptr && term->quality ? rough(term->quality->value) : std::string("-");
        };
        out << "  " << right(std::to_string(m.mode.number), 2) << in_column(dilution_cell(m.losses.dilution), 9)
            << in_column(cell("diluted"), 9) << in_column(cell("radiation"), 10) << in_column(cell("gas"), 7)
            << in_column(cell("squeeze_film"), 7) << in_column(cell("thermoelastic"), 9)
            << in_column(rough(m.losses.total.low) + ".." + rough(m.losses.total.high), 14) << "  "
            << (m.losses.limited_by == "thermoelastic" && page_width(out) < 84 ? "thermoel."
                                                                               : heading(m.losses.limited_by))
            << '\n';
    }
    std::vector<LossBudget> budgets;
    for (const PredictedMode& m : p.modes) budgets.push_back(m.losses);
    out << "  " << wrapped(out, "trust: " + trust_text(budgets) + "; --explain gives formula and source of each", 2, 2)
        << '\n';
    if (std::any_of(p.modes.begin(), p.modes.end(), [](const PredictedMode& m) { return m.losses.dilution.rough; }))
        out << "  dilution low..high: known to an order of magnitude\n";
}

void write_readout(std::ostream& out, const Prediction& p) {
    out << "\nREADOUT  (width: full, half maximum of power; force noise one-sided, per rtHz)\n";
    out << "   #      Q f  Qf h/kT    n_th  zero point force noise     width   spot";
    const bool cavity = std::any_of(p.modes.begin(), p.modes.end(), [](const PredictedMode& m) {
        return m.figures.single_photon_coupling_hz.has_value();
    });
    out << (cavity ? " g0/2pi\n" : "\n");
    for (const PredictedMode& m : p.modes) {
        const ModeFigures& g = m.figures;
        out << "  " << right(std::to_string(m.mode.number), 2) << in_column(rough(g.qf_hz), 9)
            << in_column(plain(g.qf_over_thermal, 2), 9) << in_column(rough(g.thermal_occupancy), 8)
            << in_column(with_prefix(g.zero_point_m, "m", 3), 12)
            << in_column(with_prefix(g.thermal_force_noise_n_per_rthz, "N", 3), 12)
            << in_column(with_prefix(g.linewidth_hz, "Hz", 2), 10)
            << in_column(g.spot_overlap ? overlap_text(*g.spot_overlap) : "-", 7);
        if (cavity)
            out << in_column(g.single_photon_coupling_hz && *g.single_photon_coupling_hz > 1e-6
                                 ? with_prefix(*g.single_photon_coupling_hz, "Hz", 2)
                                 : "-",
                             8);
        out << '\n';
    }
    out << "  Qf h/kT above 1: less than one thermal phonon enters in a period;\n"
           "  n_th: thermal occupancy; spot: mean of the mode shape over the light\n";
    if (p.slab) out << "  " << wrapped(out, "film at the readout wavelength: " + light_words(*p.slab), 2, 4) << '\n';
}

void write_uncertainty(std::ostream& out, const Prediction& p) {
    const Mode& lowest = p.modes.front().mode;
    if (lowest.contributions.empty()) return;
    out << "\nWHAT LIMITS THE LOWEST FREQUENCY  (+- " << with_prefix(lowest.frequency_std_hz, "Hz", 2)
        << "; sensitivity: d ln f/d ln input)\n";
    for (const Contribution& c : lowest.contributions) {
        if (c.share_hz < 0.01 * lowest.frequency_std_hz) break;
        out << "  " << left(c.input, 22) << in_column(with_prefix(c.share_hz, "Hz", 2), 10) << "   known to "
            << left(plain(100.0 * c.relative_deviation, 2) + " %", 8) << "sensitivity " << plain(c.sensitivity, 2)
            << '\n';
    }
}

}  // namespace

void write_table(std::ostream& out, const Prediction& p) {
    const std::string model = p.model + " model: " + p.model_reason + "; " + std::to_string(p.grid_cells) + " unknowns";
    out << (p.title.empty() ? std::string("(no title)") : p.title) << "\n" << wrapped(out, model, 0, 2) << "\n\n";
    write_film(out, p.film, p.released);
    write_modes(out, p);
    write_whereabouts(out, p);
    write_losses(out, p);
    write_readout(out, p);
    write_uncertainty(out, p);
    write_limits(out, p.limits);
    if (!p.warnings.empty()) out << "\nWARNINGS\n";
    for (const Warning& w : p.warnings) out << "  " << wrapped(out, "! " + w.text, 2, 4) << '\n';
}

void write_csv(std::ostream& out, const Prediction& p) {
    out << "index,label,frequency_hz,frequency_std_hz,discretisation_error_hz,effective_mass_kg,effective_mass_error_"
           "kg,"
           "spring_constant_n_per_m,"
           "quality_total,quality_low,quality_high,limited_by,dilution_factor,dilution_factor_low,dilution_factor_high,"
           "qf_hz,linewidth_hz,spot_overlap,number,bending_share,rim_share,share_within\n";
    for (const PredictedMode& m : p.modes)
        out << m.mode.index << ',' << csv_text(m.mode.label) << ',' << csv(m.mode.frequency_hz) << ','
            << csv(stated(m.mode.frequency_std_hz)) << ',' << csv(m.mode.discretisation_error_hz) << ','
            << csv(m.figures.effective_mass_kg) << ',' << csv(m.figures.effective_mass_error_kg) << ','
            << csv(m.figures.spring_constant_n_per_m) << ',' << csv(m.losses.total.value) << ','
            << csv(m.losses.total.low) << ',' << csv(m.losses.total.high) << ',' << m.losses.limited_by << ','
            << csv(m.losses.dilution.factor) << ',' << csv(m.losses.dilution.low) << ',' << csv(m.losses.dilution.high)
            << ',' << csv(m.figures.qf_hz) << ',' << csv(m.figures.linewidth_hz) << ',' << csv(m.figures.spot_overlap)
            << ',' << m.mode.number << ',' << csv(m.where.bending_share) << ',' << csv(m.where.rim_share) << ','
            << csv(m.where.share_within) << '\n';
}

}  // namespace tymbal

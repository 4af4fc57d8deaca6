#include "tymbal/print/write_cavity.h"

#include "../text/csv.h"
#include "../text/figures.h"
#include "cavity_words.h"

#include "tymbal/text/svg_plot.h"

#include <algorithm>
#include <cmath>

namespace tymbal {

namespace {

using Maybe = std::optional<double>;

void line(std::ostream& out, const char* what, const std::string& value) {
    out << "  " << left(what, 34) << wrapped(out, value, 36, 36) << '\n';
}

void note(std::ostream& out, const std::string& text) {
    out << "  " << wrapped(out, text, 2, 2) << '\n';
}

std::string bend_text(double hz_per_m2) {
    return with_prefix(1e-18 * std::abs(hz_per_m2), "Hz", 4).append("/nm^2");
}

std::string share_text(double share) {
    return share > 0.0 && share < 0.01 ? rough(share) : plain(100.0 * share, 4).append(" %");
}

/// The same, "0" where it is next to nothing beside the largest of its column.
std::string signed_beside(double value, double largest, const char* unit) {
    constexpr double nothing = 1e-4;  // a turning point's coupling, half a wavelength beside the arms
    if (std::abs(value) < nothing * largest) return "0";
    return std::string(value < 0.0 ? "-" : "").append(with_prefix(std::abs(value), unit, 3));
}

void write_head(std::ostream& out, const CavityReport& r) {
    const Cavity& c = r.settings;
    out << (r.title.empty() ? std::string("(no title)") : r.title) << "\nfilm in a cavity at "
        << plain(r.temperature_k, 4) << " K\n\nCAVITY  (" << with_prefix(r.wavelength_m, "m", 4)
        << ", normal incidence; coupling: d(frequency)/d(position))\n";
    std::string mirrors = with_prefix(c.length.si(), "m", 4);
    mirrors.append(c.film_is_end ? " from the input mirror to the film; passes " : " apart; pass ");
    mirrors.append(rough(c.input_transmission));
    if (!c.film_is_end) mirrors.append(" and ").append(rough(c.end_transmission));
    if (c.loss > 0.0) mirrors.append(", lose ").append(rough(c.loss)).append(" per round trip");
    line(out, "mirrors", mirrors);
    line(out, "film",
         (c.film_is_end ? std::string("the end mirror")
                        : with_prefix(c.film_from_input.si(), "m", 4).append(" from the input mirror"))
             .append(", spot radius ")
             .append(with_prefix(c.waist.si(), "m", 3)));
    line(out, "film reflects, passes, absorbs",
         share_text(r.film.reflectivity)
             .append(", ")
             .append(share_text(r.film.transmission))
             .append(", ")
             .append(r.film.absorption > 1e-12 ? rough(r.film.absorption) : "0"));
    const HalfWavelength& t = r.travel;
    line(out, "mode spacing, finesse",
         with_prefix(t.mode_spacing_hz, "Hz", 4).append(", ").append(plain(t.finesse, 3)));
    line(out, "kappa/2pi, mean over the travel",
         with_prefix(t.kappa_mean_hz, "Hz", 4).append(", film ").append(with_prefix(t.kappa_film_mean_hz, "Hz", 3)));
    if (!c.film_is_end) line(out, "best place, past a turning point", with_prefix(t.place.position_m, "m", 4));
    line(out, "  coupling/2pi there", coupling_text(t.place.linear_coupling_hz_per_m));
    line(out, "  kappa/2pi there",
         with_prefix(t.place.kappa_hz, "Hz", 4)
             .append(", input ")
             .append(with_prefix(t.place.kappa_input_hz, "Hz", 3))
             .append(", film ")
             .append(with_prefix(t.place.kappa_film_hz, "Hz", 3)));
    line(out, "largest quadratic coupling/2pi", bend_text(t.largest_quadratic_coupling_hz_per_m2));
}

void write_travel(std::ostream& out, const CavityReport& r) {
    constexpr std::size_t rows = 8;  // an eighth of the travel each: turning points and steepest places are among them
    out << "\nALONG HALF A WAVELENGTH  (position from a turning point, away from the input)\n";
    out << "    position       shift     coupling/nm  quadratic/nm^2       kappa     film's\n";
    const auto& points = r.travel.points;
    const auto largest = [&](double CavityPoint::*what) {
        double most = 0.0;
        for (const CavityPoint& p : points) most = std::max(most, std::abs(p.*what));
        return most;
    };
    const double shift = largest(&CavityPoint::shift_hz), slope = largest(&CavityPoint::linear_coupling_hz_per_m),
                 bend = largest(&CavityPoint::quadratic_coupling_hz_per_m2);
    for (std::size_t k = 0; k <= rows; ++k) {
        const CavityPoint& p = points[k * (points.size() - 1) / rows];
        out << in_column(fixed(1e9 * p.position_m, 1).append(" nm"), 12)
            << in_column(signed_beside(p.shift_hz, shift, "Hz"), 12)
            << in_column(signed_beside(1e-9 * p.linear_coupling_hz_per_m, 1e-9 * slope, "Hz"), 16)
            << in_column(signed_beside(1e-18 * p.quadratic_coupling_hz_per_m2, 1e-18 * bend, "Hz"), 16)
            << in_column(with_prefix(p.kappa_hz, "Hz", 4), 12) << in_column(with_prefix(p.kappa_film_hz, "Hz", 3), 11)
            << '\n';
    }
}

void write_modes(std::ostream& out, const CavityReport& r) {
    out << "\nMODES  (C0: cooperativity of one photon; Q at mid-band)\n";
    out << "   #  mode            frequency    spot    g0/2pi      C0  n_th  thermal noise\n";
    for (const ModeInCavity& m : r.modes)
        out << "  " << right(std::to_string(m.index), 2) << (m.partner > 0 ? "= " : "  ") << left(m.label, 14)
            << in_column(with_prefix(m.mode.frequency_hz, "Hz", 4), 11) << in_column(overlap_text(m.overlap), 8)
            << in_column(m.mode.g0_hz > 0.0 ? with_prefix(m.mode.g0_hz, "Hz", 3) : "-", 10)
            << in_column(m.mode.g0_hz > 0.0 ? rough(m.single_photon_cooperativity) : "-", 8)
            << in_column(rough(m.mode.thermal_occupancy), 6)
            << in_column(m.mode.g0_hz > 0.0 ? with_prefix(m.thermal_rms_hz, "Hz", 3) : "-", 15) << '\n';
    note(
        out,
        "spot: mean of the mode over the light; n_th: thermal occupancy; thermal noise: rms of the cavity's frequency");
}

void write_driven(std::ostream& out, const CavityReport& r) {
    out << "\nUNDER LIGHT  (" << with_prefix(r.settings.power->si(), "W", 3) << " on the input mirror, each mode at "
        << (r.settings.detuning ? "the design's" : "its best") << " detuning)\n";
    out << "   #   detuning   n_cav       C     C_q    spring   damping     n_f    best at\n";
    for (const ModeInCavity& m : r.modes) {
        const DrivenMode& d = *m.driven;
        const bool met = m.mode.g0_hz > 0.0;
        out << "  " << right(std::to_string(m.index), 2) << in_column(signed_hz(m.detuning_hz, 3), 11)
            << in_column(rough(d.photons), 8) << in_column(met ? rough(d.cooperativity) : "-", 8)
            << in_column(met ? pure_number(d.quantum_cooperativity) : "-", 8)
            << in_column(met ? signed_hz(d.force.spring_hz, 2) : "-", 10)
            << in_column(met ? signed_hz(d.force.damping_hz, 2) : "-", 10)
            << in_column(pure_number(d.final_occupancy), 8)
            << in_column(d.best ? signed_hz(d.best->detuning_hz, 3) : "-", 11) << '\n';
    }
    note(
        out,
        "detuning: laser minus cavity, as the light has pushed it; C, C_q: cooperativity, and over n_th; spring: shift "
        "of the mode; damping: added to its width; n_f: quanta left; best at: the detuning that leaves least");
}

void write_quantum(std::ostream& out, const CavityReport& r) {
    out << "\nQUANTUM LIMITS  (back-action and feedback: on resonance)\n";
    out << "   #  power for C_q = 1  least n_f at any power  back-action quanta  by feedback\n";
    for (const ModeInCavity& m : r.modes)
        out << "  " << right(std::to_string(m.index), 2)
            << in_column(watts_text(m.power_for_quantum_cooperativity_w), 19)
            << in_column(pure_number(m.back_action_limit), 24)
            << in_column(m.driven && m.mode.g0_hz > 0.0 ? pure_number(m.driven->back_action_quanta) : "-", 20)
            << in_column(m.driven ? pure_number(m.driven->feedback_limit) : "-", 13) << '\n';
    note(out,
         "power for C_q = 1: at the mode's detuning; least n_f at any power: where back-action alone is left, sideband "
         "cooling; by feedback: all light that leaves through the input mirror detected");
}

std::string mixed_text(const CavityReport& r, const MixedTone& m) {
    const double offset = m.tone.frequency_hz - r.modes[r.wanted].mode.frequency_hz;
    return std::string(r.modes[m.first].label)
        .append(m.sum ? " + " : " - ")
        .append(r.modes[m.second].label)
        .append(offset < 0.0 ? ", " : ", +")
        .append(signed_hz(offset, 3))
        .append(" away, ")
        .append(with_prefix(m.tone.rms_hz, "Hz", 2))
        .append(" rms");
}

void write_noise(std::ostream& out, const CavityReport& r) {
    const CavityNoise& n = r.noise;
    const ModeInCavity& wanted = r.modes[r.wanted];
    out << "\nTHERMAL NOISE OF THE CAVITY'S FREQUENCY  (wanted mode: " << wanted.label << ")\n";
    std::string rms = with_prefix(n.rms_hz, "Hz", 3);
    if (n.all_modes) rms.append(", the listed ones ").append(with_prefix(n.listed_rms_hz, "Hz", 3));
    line(out, n.all_modes ? "all modes of the film, rms" : "the listed modes, rms", rms);
    line(out, "in half widths of the cavity", plain(n.over_half_kappa, 2).append(" (near 1: no linear readout)"));
    line(out, "at the wanted mode, Hz/rtHz",
         pure_number(n.at_wanted.own)
             .append(" its own peak, ")
             .append(pure_number(n.at_wanted.others))
             .append(" tails of others, ")
             .append(pure_number(n.at_wanted.mixed))
             .append(" mixed pairs"));
    for (std::size_t k = 0; k < n.nearest.size(); ++k)
        line(out, k == 0 ? "mixed pairs next to it" : "", mixed_text(r, n.nearest[k]));
    std::string quiet;
    for (const QuietFrequency& q : n.quiet)
        quiet.append(quiet.empty() ? "" : ", ")
            .append(with_prefix(q.frequency_hz, "Hz", 4))
            .append(" (")
            .append(q.loud)
            .append(")");
    if (!quiet.empty()) line(out, "must be quiet (mixes with)", quiet);
}

void write_limits(std::ostream& out, const CavityReport& r) {
    out << "\nPOWER\n";
    if (r.bistable_power_w) line(out, "two states above, on resonance", with_prefix(*r.bistable_power_w, "W", 3));
    if (r.unstable)
        line(out, "a mode oscillates above",
             with_prefix(r.unstable->power_w, "W", 3)
                 .append(" at +")
                 .append(with_prefix(r.unstable->detuning_hz, "Hz", 3))
                 .append(", ")
                 .append(r.unstable_mode));
    if (r.heat)
        line(out, "light absorbed in the film",
             with_prefix(r.heat->absorbed_w, "W", 2)
                 .append(": hottest +")
                 .append(with_prefix(r.heat->hottest_k, "K", 2))
                 .append(", shifts the wanted mode by ")
                 .append(rough(r.heat->relative_shift)));
}

PlotCurve curve_of(const CavityReport& r, const char* label, double CavityPoint::*what, double scale) {
    PlotCurve curve;
    curve.label = label;
    for (const CavityPoint& p : r.travel.points) {
        curve.x.push_back(1e9 * p.position_m);
        curve.y.push_back(scale * p.*what);
    }
    return curve;
}

}  // namespace

std::string cavity_light_caution() {
    return "Light: the power inside a cavity is far above the laser's, infrared beams are invisible, and a lock that "
           "jumps sends all of it back or through; class, eyewear, enclosure and beam path are the laser safety "
           "officer's.";
}

std::vector<std::string> cavity_cautions() {
    return {
        cavity_light_caution(),
        "Vacuum: view ports implode, films break and fly when vented fast; cryogens burn and displace air. Local rules "
        "and trained staff decide."};
}

void write_table(std::ostream& out, const CavityReport& r) {
    write_head(out, r);
    write_travel(out, r);
    write_modes(out, r);
    if (r.modes.front().driven) write_driven(out, r);
    write_quantum(out, r);
    write_noise(out, r);
    write_limits(out, r);
    if (!r.warnings.empty()) out << "\nWARNINGS\n";
    for (const Warning& w : r.warnings) out << "  " << wrapped(out, "! " + w.text, 2, 4) << '\n';
    out << "\nCAUTIONS\n";
    for (const std::string& caution : cavity_cautions()) note(out, caution);
}

void write_csv(std::ostream& out, const CavityReport& r) {
    out << "index,label,frequency_hz,linewidth_hz,thermal_occupancy,overlap,g0_hz,single_photon_cooperativity,"
           "thermal_cavity_noise_rms_hz,detuning_hz,n_cav,cooperativity,quantum_cooperativity,optical_spring_hz,"
           "optical_damping_hz,final_occupancy,least_occupancy,best_detuning_hz,power_for_quantum_cooperativity_w,"
           "back_action_limit,back_action_quanta,feedback_limit,coupling_over_kappa\n";
    for (const ModeInCavity& m : r.modes) {
        const DrivenMode* d = m.driven ? &*m.driven : nullptr;
        const auto driven = [&](double value) { return d != nullptr ? Maybe(value) : Maybe(); };
        out << m.index << ',' << csv_text(m.label);
        for (const double v : {m.mode.frequency_hz, m.mode.linewidth_hz, m.mode.thermal_occupancy, m.overlap,
                               m.mode.g0_hz, m.single_photon_cooperativity, m.thermal_rms_hz, m.detuning_hz})
            out << ',' << csv(v);
        for (const Maybe& v :
             {driven(d ? d->photons : 0.0), driven(d ? d->cooperativity : 0.0),
              driven(d ? d->quantum_cooperativity : 0.0), driven(d ? d->force.spring_hz : 0.0),
              driven(d ? d->force.damping_hz : 0.0), d ? d->final_occupancy : Maybe(),
              d && d->best ? Maybe(d->best->occupancy) : Maybe(), d && d->best ? Maybe(d->best->detuning_hz) : Maybe(),
              m.power_for_quantum_cooperativity_w, Maybe(m.back_action_limit), driven(d ? d->back_action_quanta : 0.0),
              d ? d->feedback_limit : Maybe(), driven(d ? d->coupling_over_kappa : 0.0)})
            out << ',' << csv(v);
        out << '\n';
    }
}

void write_plot(std::ostream& out, const CavityReport& r) {
    PlotPanel shift{"shift of the resonance (MHz)", {curve_of(r, "", &CavityPoint::shift_hz, 1e-6)}};
    PlotPanel linear{"coupling/2pi (MHz/nm)", {curve_of(r, "", &CavityPoint::linear_coupling_hz_per_m, 1e-15)}};
    PlotPanel bend{"quadratic coupling/2pi (kHz/nm^2)",
                   {curve_of(r, "", &CavityPoint::quadratic_coupling_hz_per_m2, 1e-21)}};
    PlotPanel width{"kappa/2pi (kHz)",
                    {curve_of(r, "whole", &CavityPoint::kappa_hz, 1e-3),
                     curve_of(r, "input mirror", &CavityPoint::kappa_input_hz, 1e-3),
                     curve_of(r, "film", &CavityPoint::kappa_film_hz, 1e-3)}};
    write_svg(out, {r.title.empty() ? "film in its cavity" : r.title,
                    "position of the film (nm)",
                    false,
                    {shift, linear, bend, width}});
}

}  // namespace tymbal

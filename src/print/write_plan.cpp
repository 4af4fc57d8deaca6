#include "tymbal/print/write_plan.h"

#include "../text/csv.h"
#include "../text/figures.h"

#include <algorithm>
#include <cmath>

namespace tymbal {

namespace {

void line(std::ostream& out, const char* what, const std::string& value) {
    out << "  " << left(what, 34) << wrapped(out, value, 36, 36) << '\n';
}

void note(std::ostream& out, const std::string& text) {
    out << "  " << wrapped(out, text, 2, 2) << '\n';
}

/// Two digits, more where they stand before the point: "0.31", "8.1", "630".
std::string short_text(double value) {
    if (!std::isfinite(value)) return "-";
    return std::abs(value) < 99.5 || std::abs(value) >= 99'999.5 ? plain(value, 2) : fixed(value, 0);
}

std::string time_text(double seconds) {
    return duration(seconds, 2);
}

std::string pressure_text(const std::optional<double>& pascal) {
    return pascal ? rough(0.01 * *pascal) : "-";
}

std::string slope_text(double per_m) {
    return plain(1e-6 * per_m, 3).append(" per um");
}

std::string places(const std::vector<Landmark>& marks, double unit, const char* name) {
    std::string text;
    for (const Landmark& mark : marks) text.append(text.empty() ? "" : ", ").append(fixed(mark.at / unit, 3));
    return text.empty() ? std::string("none near") : text.append(" ").append(name);
}

std::string micrometres(const Point& p) {
    return fixed(1e6 * p.x + 0.0, 1).append(", ").append(fixed(1e6 * p.y + 0.0, 1));
}

void write_light(std::ostream& out, const LightPlan& light) {
    out << "\nLIGHT  (" << with_prefix(light.wavelength_m, "m", 4) << ", normal incidence; slope: dR/dgap)\n";
    std::string index = fixed(light.film_index.real(), 4);
    if (light.pitch_in_wavelengths > 0.0)
        index.append(light.seen_as == SeenAs::averaged ? ", mean over holes, pitch " : " between holes, pitch ")
            .append(plain(light.pitch_in_wavelengths, 2))
            .append(" wavelengths");
    line(out, "film index, real part", index);
    const bool over = light.gap_m && light.below != "none";
    line(out, "film over",
         over ? with_prefix(*light.gap_m, "m", 4).append(" of gap, then ").append(light.below)
              : std::string("nothing: a free slab"));
    if (light.coupling > 0.0)
        line(out, "first orders over gap and back",
             rough(light.coupling)
                 .append(light.coupling < 1.0 ? " left of them" : " (they run)")
                 .append(light.coupled ? ": solved with the zero order" : ": the zero order alone crosses"));
    line(out, "reflected, absorbed in the film",
         plain(100.0 * light.here.reflectivity).append(" %, ").append(rough(light.here.absorption)));
    if (!over) return;
    line(out, "slope here, best possible",
         with_uncertainty(light.here.slope_per_m, light.slope_std_per_m, 1e6)
             .append(", ")
             .append(slope_text(light.best_slope_per_m)));
    if (light.blind)
        line(out, "this gap is blind",
             plain(100.0 * std::abs(light.here.slope_per_m) / light.best_slope_per_m, 2)
                 .append(" % of the best slope: reflected power hardly follows the film here"));
    else
        line(out, "half of it is left for gaps of",
             fixed(1e6 * light.half.low, 3).append(" to ").append(fixed(1e6 * light.half.high, 3)).append(" um"));
    line(out, "blind gaps near", places(light.gaps.blind, 1e-6, "um"));
    line(out, "best gaps near", places(light.gaps.best, 1e-6, "um"));
    line(out, "blind wavelengths near", places(light.wavelengths.blind, 1e-9, "nm"));
    line(out, "best wavelengths near", places(light.wavelengths.best, 1e-9, "nm"));
    std::string usual;
    for (const Landmark& mark : light.usual)
        usual.append(usual.empty() ? "" : ", ")
            .append(plain(1e9 * mark.at, 4))
            .append(" nm ")
            .append(plain(1e-6 * mark.slope_per_m, 2));
    line(out, "slope per um, other lasers", usual);
}

void write_heat(std::ostream& out, const Plan& plan) {
    const HeatPlan& heat = *plan.heat;
    out << "\nHEAT  (film on a cold chip; emissivity of a face " << plain(heat.emissivity)
        << ", memory: 0.05 to 0.2)\n";
    line(out, "hottest, mean per absorbed power",
         with_prefix(heat.at_spot.hottest_k_per_w * 1e-6, "K/uW", 3)
             .append(", ")
             .append(with_prefix(heat.at_spot.mean_k_per_w * 1e-6, "K/uW", 3)));
    line(out, "stress lost per absorbed power", with_prefix(heat.at_spot.stress_drop_pa_per_w * 1e-6, "Pa/uW", 3));
    line(out, "known to",
         plain(100.0 * heat.temperature_share, 2)
             .append(" % (temperature), ")
             .append(plain(100.0 * heat.shift_share, 2))
             .append(" % (stress, shifts)"));
    line(out, "heat that leaves as radiation", plain(100.0 * heat.at_spot.radiated_share, 2).append(" %"));
    line(out, "absorbed of the incident power",
         rough(heat.absorbed_share).append(" +- ").append(rough(heat.absorbed_std)).append(" (the film's extinction)"));
    if (heat.shift_per_kelvin)
        line(out, "frequency per kelvin of the chip",
             with_uncertainty(1e6 * *heat.shift_per_kelvin, 1e6 * heat.shift_per_kelvin_std, 1.0).append(" ppm/K"));
    for (const HeatPlan::Cold& cold : heat.cold)
        line(out, std::string("film at ").append(plain(cold.temperature_k)).append(" K, before release").c_str(),
             with_uncertainty(cold.stress_pa, cold.stress_std_pa, 1e6)
                 .append(" MPa, frequency times ")
                 .append(fixed(cold.frequency_factor, 3)));
}

void write_search(std::ostream& out, const Plan& plan) {
    out << "\nWHERE AND HOW LONG  (widths: full, half maximum of power; Q at mid-band)\n";
    out << "   #  mode          window (kHz), 2 sigma     width  res.bw   record   sweep\n";
    for (const PlannedMode& m : plan.modes) {
        const Timing& t = m.timing;
        out << "  " << right(std::to_string(m.index), 2) << (m.partner > 0 ? "= " : "  ") << left(m.label, 14)
            << in_column(fixed(1e-3 * t.window_low_hz, 2).append(" ... ").append(fixed(1e-3 * t.window_high_hz, 2)), 21)
            << in_column(with_prefix(t.linewidth_hz, "Hz", 2), 10)
            << in_column(with_prefix(t.resolution_hz, "Hz", 2), 9) << in_column(time_text(t.record_s), 9)
            << in_column(time_text(t.sweep_s), 8) << '\n';
    }
    if (plan.assumed)
        note(
            out,
            "the design states no deviation: windows take those of the film's material row and 3 % of the stress. Give "
            "the design its own, e.g. stress = \"1.00 +- 0.03 GPa\"");
    std::string measured;
    for (const PlannedMode& m : plan.modes)
        if (m.measured) measured.append(measured.empty() ? "" : ", ").append(m.label + " " + rough(m.quality.value));
    if (!measured.empty()) note(out, "Q as measured: " + measured);
    note(out,
         "res.bw: resolution bandwidth that shows the width, a fifth of it; record: of one spectrum at that "
         "bandwidth, Hann window; sweep: the window driven in steps of half a width, settling three amplitude "
         "times at each");
}

void write_drive(std::ostream& out, const Plan& plan) {
    out << "\nRING-DOWN AND DRIVE  (amplitudes: peak, at the antinode)\n";
    out << "   #  ring-up   energy   decay dB/s  record  max drive  thermal  k3 (N/m^3)\n";
    for (const PlannedMode& m : plan.modes) {
        const Timing& t = m.timing;
        out << "  " << right(std::to_string(m.index), 2) << in_column(time_text(t.ring_up_s), 9)
            << in_column(time_text(t.energy_time_s), 9) << in_column(short_text(t.decay_db_per_s), 13)
            << in_column(time_text(t.ringdown_s), 8) << in_column(with_prefix(m.drive_ceiling_m, "m", 2), 11)
            << in_column(with_prefix(m.thermal_rms_m, "m", 2), 9) << in_column(rough(m.duffing.cubic), 12) << '\n';
    }
    note(out,
         "ring-up: time of the amplitude, Q/(pi f); energy: half of it; record: until the power has fallen by 40 "
         "dB; max drive: largest drive amplitude, moves the line by half its width (stretching of the film); thermal: "
         "rms");
}

void write_signal(std::ostream& out, const Plan& plan) {
    out << "\nSIGNAL AT THE SPOT  (peak of the thermal line, one-sided spectrum)\n";
    out << "   #  mode          overlap  peak m/rtHz  of R/rtHz  /shot best spot (um)  there\n";
    for (const PlannedMode& m : plan.modes) {
        const bool seen = m.overlap && std::abs(*m.overlap) >= 1e-6;
        std::string best = "-", there = "-";
        if (m.best) {
            best = micrometres(m.best->at);
            there = plain(m.best->overlap, 2);
        }
        out << "  " << right(std::to_string(m.index), 2) << "  " << left(m.label, 14)
            << in_column(m.overlap ? overlap_text(*m.overlap) : "-", 7)
            << in_column(seen && m.peak_m_per_rthz ? rough(*m.peak_m_per_rthz) : "-", 13)
            << in_column(seen && m.peak_relative_per_rthz ? rough(*m.peak_relative_per_rthz) : "-", 11)
            << in_column(seen && m.peak_over_shot_noise ? short_text(*m.peak_over_shot_noise) : "-", 7)
            << in_column(best, 15) << in_column(there, 6) << '\n';
    }
    double spread = 1.0;
    for (const PlannedMode& m : plan.modes)
        spread =
            std::max({spread, std::sqrt(m.quality.high / m.quality.value), std::sqrt(m.quality.value / m.quality.low)});
    note(out,
         std::string("peaks follow sqrt(Q): over the bands of Q they lie within a factor ").append(plain(spread, 2)));
    for (const PlannedMode& m : plan.modes)
        if (!m.hidden.empty())
            note(out, std::string("hidden: ").append(m.label).append(" (").append(m.hidden).append(")"));
    if (plan.common_spot)
        note(out, std::string("best single spot for ")
                      .append(plan.options.aim.empty() ? "all of them" : "the modes aimed at")
                      .append(": (")
                      .append(micrometres(plan.common_spot->at))
                      .append(") um, where the weakest overlap is ")
                      .append(plain(plan.common_spot->overlap, 2)));
}

void write_gap_gas(std::ostream& out, const GapGas& gas) {
    std::string text = "gap at the design's pressure: ";
    text.append(gas.regime)
        .append(" (mean free path ")
        .append(short_text(gas.knudsen_gap))
        .append(" gaps, ")
        .append(short_text(gas.knudsen_film))
        .append(" membranes); lowest mode raised by 0 to ")
        .append(with_prefix(3.0 * gas.shift_hz, "Hz", 2));
    if (gas.quality)
        text.append("; gap gas alone leaves Q ")
            .append(rough(*gas.quality))
            .append(" by the linear Reynolds equation without holes, an order of magnitude");
    note(out, text);
}

void write_limits(std::ostream& out, const Plan& plan) {
    out << "\nVACUUM AND POWER  (gas below " << plain(100.0 * plan.options.gas_share)
        << " % of the loss; shift by light "
        << "below " << plain(1e6 * plan.options.allowed_shift) << " ppm)\n";
    out << "   #  pressure, mbar of " << left(plan.gas, 12) << "band   absorbed  incident  trapped Hz/mbar\n";
    for (const PlannedMode& m : plan.modes)
        out << "  " << right(std::to_string(m.index), 2) << in_column(pressure_text(m.pressure_limit_pa), 14)
            << in_column(pressure_text(m.pressure_low_pa).append("...").append(pressure_text(m.pressure_high_pa)), 20)
            << in_column(m.absorbed_limit_w ? with_prefix(*m.absorbed_limit_w, "W", 2) : "-", 11)
            << in_column(m.power_limit_w ? with_prefix(*m.power_limit_w, "W", 2) : "-", 10)
            << in_column(m.trapped_shift_hz_per_pa ? short_text(100.0 * *m.trapped_shift_hz_per_pa) : "-", 17) << '\n';
    note(out,
         "pressure at the membrane, not at a far gauge; the band spans wall accommodation and venting; incident "
         "power leans on the film's extinction, an order of magnitude, taken one deviation high; trapped gas: upward "
         "shift by gas that cannot leave the gap within a period, up to three times as much for mirror-like walls, "
         "less where "
         "holes vent it; pressures end where free-molecular formulas do");
    if (plan.gap_gas) write_gap_gas(out, *plan.gap_gas);
}

std::string offset_text(const std::optional<Neighbour>& n) {
    if (!n) return "-";
    const std::string sign = n->offset_hz < 0.0 ? "-" : "+";
    return std::string(n->name)
        .append(" ")
        .append(sign)
        .append(with_prefix(std::abs(n->offset_hz), "Hz", 3))
        .append(n->within ? " !" : "");
}

void write_neighbours(std::ostream& out, const Plan& plan) {
    out << "\nNEIGHBOURS  (!: not told apart within the errors)\n";
    out << "   #  mode          nearest harmonic       nearest chip mode       Q radiation\n";
    for (const PlannedMode& m : plan.modes) {
        const auto& q = m.chip_radiation;
        out << "  " << right(std::to_string(m.index), 2) << "  " << left(m.label, 14)
            << left(offset_text(m.harmonic), 23) << left(offset_text(m.chip_mode), 24)
            << (q ? rough(q->low).append("...").append(rough(q->high)) : "-") << '\n';
    }
    if (plan.chip)
        note(out, std::string("chip: thin-plate modes from ")
                      .append(with_prefix(plan.chip->modes.front().frequency_hz, "Hz", 3))
                      .append(", one every ")
                      .append(with_prefix(
                          plan.chip->modes.back().frequency_hz / static_cast<double>(plan.chip->modes.size()), "Hz", 2))
                      .append(" on average, placed up to ")
                      .append(with_prefix(plan.chip->reach_hz, "Hz", 2))
                      .append("; the band of Q is an order of magnitude, for this chip alone, mounted as [chip] says"));
    std::string count =
        std::to_string(plan.counted).append(" modes up to ").append(with_prefix(plan.count_below_hz, "Hz", 4));
    if (plan.weyl) count.append("; Weyl's law with its rim term expects ").append(fixed(*plan.weyl, 1));
    note(out, count);
    if (std::any_of(plan.modes.begin(), plan.modes.end(), [](const PlannedMode& m) { return m.partner > 0; }))
        note(out,
             "=: a pair of equal frequency; any mixture of the two shapes is a mode, small asymmetries choose it, and "
             "with it the signal at the spot");
}

}  // namespace

std::vector<std::string> measurement_cautions() {
    return {
        "Light: infrared beams are invisible and a chip on silicon reflects like a mirror; class, eyewear, enclosure "
        "and beam path are the laser safety officer's. More power moves frequencies and can break a film.",
        "Vacuum: view ports implode, gauges and pumps carry high voltage, films break and fly when vented fast; "
        "cryogens burn and displace air. Local rules and trained staff decide."};
}

void write_table(std::ostream& out, const Plan& plan) {
    out << (plan.title.empty() ? std::string("(no title)") : plan.title) << "\nmeasurement plan at "
        << plain(plan.temperature_k, 4) << " K\n";
    if (plan.light) write_light(out, *plan.light);
    if (plan.heat) write_heat(out, plan);
    write_search(out, plan);
    write_drive(out, plan);
    if (plan.modes.front().overlap) write_signal(out, plan);
    write_limits(out, plan);
    write_neighbours(out, plan);
    if (!plan.warnings.empty()) out << "\nWARNINGS\n";
    for (const Warning& w : plan.warnings) out << "  " << wrapped(out, "! " + w.text, 2, 4) << '\n';
    out << "\nCAUTIONS\n";
    for (const std::string& caution : measurement_cautions()) note(out, caution);
}

void write_csv(std::ostream& out, const Plan& plan) {
    out << "index,label,frequency_hz,deviation_hz,window_low_hz,window_high_hz,quality,quality_low,quality_high,"
           "linewidth_fwhm_power_hz,resolution_bandwidth_hz,record_s,step_hz,settle_s,sweep_s,amplitude_time_s,"
           "energy_time_s,decay_db_per_s,ringdown_record_s,cubic_stiffness_n_per_m3,drive_ceiling_m,thermal_rms_m,"
           "overlap,peak_one_sided_m_per_rthz,peak_relative_per_rthz,peak_over_shot_noise,hidden,best_x_m,best_y_m,"
           "best_overlap,pressure_limit_pa,pressure_low_pa,pressure_high_pa,absorbed_limit_w,power_limit_w,"
           "trapped_shift_hz_per_pa,harmonic,harmonic_offset_hz,chip_mode,chip_mode_offset_hz,radiation_low,"
           "radiation_high\n";
    using Maybe = std::optional<double>;
    for (const PlannedMode& m : plan.modes) {
        const Timing& t = m.timing;
        out << m.index << ',' << csv_text(m.label);
        for (const double v : {m.frequency_hz,   m.deviation_hz, t.window_low_hz, t.window_high_hz,  m.quality.value,
                               m.quality.low,    m.quality.high, t.linewidth_hz,  t.resolution_hz,   t.record_s,
                               t.step_hz,        t.settle_s,     t.sweep_s,       t.ring_up_s,       t.energy_time_s,
                               t.decay_db_per_s, t.ringdown_s,   m.duffing.cubic, m.drive_ceiling_m, m.thermal_rms_m})
            out << ',' << csv(v);
        for (const Maybe& v : {m.overlap, m.peak_m_per_rthz, m.peak_relative_per_rthz, m.peak_over_shot_noise})
            out << ',' << csv(v);
        out << ',' << csv_text(m.hidden);
        for (const Maybe& v : {m.best ? Maybe(m.best->at.x) : Maybe(), m.best ? Maybe(m.best->at.y) : Maybe(),
                               m.best ? Maybe(m.best->overlap) : Maybe(), m.pressure_limit_pa})
            out << ',' << csv(v);
        out << ',' << csv(m.pressure_low_pa) << ',' << csv(m.pressure_high_pa);
        for (const Maybe& v : {m.absorbed_limit_w, m.power_limit_w, m.trapped_shift_hz_per_pa}) out << ',' << csv(v);
        for (const auto& n : {m.harmonic, m.chip_mode})
            out << ',' << csv_text(n ? n->name : "") << ',' << csv(n ? Maybe(n->offset_hz) : Maybe());
        out << ',' << csv(m.chip_radiation ? Maybe(m.chip_radiation->low) : Maybe()) << ','
            << csv(m.chip_radiation ? Maybe(m.chip_radiation->high) : Maybe()) << '\n';
    }
}

}  // namespace tymbal

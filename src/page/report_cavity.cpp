// The film in its cavity: how the resonance follows it, what each mode couples, what noise and power allow.
#include "../print/cavity_words.h"
#include "../text/figures.h"
#include "report_figures.h"
#include "report_parts.h"

#include "tymbal/print/write_cavity.h"

#include <sstream>

namespace tymbal {

namespace {

void write_picture(std::ostream& out, const CavityReport& r) {
    std::ostringstream picture;
    write_plot(picture, r);
    out << "<figure class=\"paper\"><div class=\"scroll\" role=\"region\" tabindex=\"0\" "
           "aria-label=\"Picture: along half a wavelength\"><div class=\"map\" role=\"img\" "
           "aria-label=\"Shift of the resonance, coupling, quadratic coupling and kappa against the film's position "
           "along half a wavelength; the largest coupling is "
        << coupling_text(r.travel.place.linear_coupling_hz_per_m) << ", the tables that follow have the numbers\">"
        << picture.str() << "</div></div></figure>\n";
}

void write_place(std::ostream& out, const CavityReport& r) {
    const CavityPoint& at = r.travel.place;
    std::vector<Fact> rows{
        {"Mode spacing, finesse", with_prefix(r.travel.mode_spacing_hz, "Hz", 4) + ", " + plain(r.travel.finesse, 3)}};
    if (!r.settings.film_is_end)
        rows.push_back({"Best place, past a turning point", with_prefix(at.position_m, "m", 4)});
    rows.push_back({"Coupling/2pi there", coupling_text(at.linear_coupling_hz_per_m)});
    rows.push_back({"kappa/2pi there",
                    with_prefix(at.kappa_hz, "Hz", 4) + ", of it the film " + with_prefix(at.kappa_film_hz, "Hz", 3)});
    rows.push_back({"Spot radius at the film", with_prefix(r.settings.waist.si(), "m", 3)});
    facts(out, "The film's place in the cavity", rows);
}

void write_coupling(std::ostream& out, const CavityReport& r) {
    const std::vector<Column> columns{{"mode", false}, {"g0/2pi"}, {"C0"}, {"n_th"}, {"thermal noise"}};
    begin_table(out,
                "Modes at that place; C0: cooperativity of one photon, Q at mid-band; n_th: thermal occupancy; thermal "
                "noise: rms of the cavity's frequency; -: light does not meet the mode",
                columns);
    for (const ModeInCavity& m : r.modes) {
        const bool met = m.mode.g0_hz > 0.0;
        table_row(
            out, columns,
            {m.label, met ? with_prefix(m.mode.g0_hz, "Hz", 3) : "-", met ? rough(m.single_photon_cooperativity) : "-",
             rough(m.mode.thermal_occupancy), met ? with_prefix(m.thermal_rms_hz, "Hz", 3) : "-"});
    }
    end_table(out);
}

/// Without a power, the power for C_q = 1 is all that is known under light.
std::string light_caption(const CavityReport& r) {
    const std::string where = r.settings.detuning ? "the design's" : "its best";
    const std::string what = "; detuning: laser minus cavity, as the light has pushed it; C_q: cooperativity over n_th";
    if (!r.modes.front().driven) return "Each mode at " + where + " detuning, no power given" + what;
    return "Under light: " + with_prefix(r.settings.power->si(), "W", 3) + " on the input mirror, each mode at " +
           where + " detuning" + what + "; spring: shift of the mode; damping: added to its width; n_f: quanta left";
}

std::vector<std::string> light_cells(const ModeInCavity& m) {
    const bool met = m.mode.g0_hz > 0.0;
    std::vector<std::string> cells{m.label, signed_hz(m.detuning_hz, 3)};
    if (m.driven) {
        const DrivenMode& d = *m.driven;
        cells.push_back(met ? pure_number(d.quantum_cooperativity) : "-");
        cells.push_back(met ? signed_hz(d.force.spring_hz, 2) : "-");
        cells.push_back(met ? signed_hz(d.force.damping_hz, 2) : "-");
        cells.push_back(pure_number(d.final_occupancy));
    }
    cells.push_back(watts_text(m.power_for_quantum_cooperativity_w));
    return cells;
}

void write_under_light(std::ostream& out, const CavityReport& r) {
    std::vector<Column> columns{{"mode", false}, {"detuning"}};
    if (r.modes.front().driven)
        for (const char* heading : {"C_q", "spring", "damping", "n_f"}) columns.push_back({heading});
    columns.push_back({"power for C_q = 1"});
    begin_table(out, light_caption(r), columns);
    for (const ModeInCavity& m : r.modes) table_row(out, columns, light_cells(m));
    end_table(out);
}

std::string noise_sentence(const CavityReport& r) {
    const CavityNoise& n = r.noise;
    const char* verdict = n.over_half_kappa < 0.5   ? "a linear readout follows it."
                          : n.over_half_kappa < 1.0 ? "a linear readout is distorted."
                                                    : "a linear readout is impossible.";
    return std::string("Thermal motion of ")
        .append(n.all_modes ? "all modes of the film" : "the listed modes")
        .append(" moves the resonance by ")
        .append(with_prefix(n.rms_hz, "Hz", 3))
        .append(" rms. That is ")
        .append(plain(n.over_half_kappa, 2))
        .append(" half widths of the cavity: ")
        .append(verdict);
}

std::vector<std::string> noise_and_power(const CavityReport& r) {
    std::vector<std::string> all{noise_sentence(r)};
    if (r.bistable_power_w)
        all.push_back("On resonance the cavity has two states above " + with_prefix(*r.bistable_power_w, "W", 3) +
                      " on the input mirror: a laser swept across it jumps.");
    if (r.unstable)
        all.push_back("The mode " + r.unstable_mode + " oscillates above " + with_prefix(r.unstable->power_w, "W", 3) +
                      " at a detuning of +" + with_prefix(r.unstable->detuning_hz, "Hz", 3) + ".");
    if (r.heat)
        all.push_back("The film absorbs " + with_prefix(r.heat->absorbed_w, "W", 2) + ": it is " +
                      with_prefix(r.heat->hottest_k, "K", 2) + " warmer at its hottest, which shifts the mode " +
                      r.modes[r.wanted].label + " by " + rough(r.heat->relative_shift) + " of its frequency.");
    return all;
}

}  // namespace

void write_cavity_section(std::ostream& out, const CavityReport& cavity) {
    begin_section(out, "cavity", "In the cavity");
    write_picture(out, cavity);
    write_place(out, cavity);
    write_coupling(out, cavity);
    write_under_light(out, cavity);
    out << "<h3>Noise and power</h3>\n";
    list(out, noise_and_power(cavity));
    list_cautions(out, {cavity_light_caution()});
    end_section(out);
}

}  // namespace tymbal

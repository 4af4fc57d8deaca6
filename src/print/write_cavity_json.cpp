#include "tymbal/print/write_cavity.h"

#include "json_parts.h"

#include <cmath>

namespace tymbal {

namespace {

Json point_json(const CavityPoint& p) {
    return {{"position_m", number(p.position_m)},
            {"shift_hz", number(p.shift_hz)},
            {"linear_coupling_hz_per_m", number(p.linear_coupling_hz_per_m)},
            {"quadratic_coupling_hz_per_m2", number(p.quadratic_coupling_hz_per_m2)},
            {"kappa_hz", number(p.kappa_hz)},
            {"kappa_film_hz", number(p.kappa_film_hz)},
            {"kappa_input_hz", number(p.kappa_input_hz)}};
}

/// What needs a power; null without one.
void add_driven(const std::optional<DrivenMode>& driven, Json& mode) {
    const auto of = [&](auto&& figure) { return driven ? figure(*driven) : Json(nullptr); };
    mode["n_cav"] = of([](const DrivenMode& d) { return number(d.photons); });
    mode["cooperativity"] = of([](const DrivenMode& d) { return number(d.cooperativity); });
    mode["quantum_cooperativity"] = of([](const DrivenMode& d) { return number(d.quantum_cooperativity); });
    mode["optical_spring_hz"] = of([](const DrivenMode& d) { return number(d.force.spring_hz); });
    mode["optical_damping_hz"] = of([](const DrivenMode& d) { return number(d.force.damping_hz); });
    mode["final_occupancy"] = of([](const DrivenMode& d) { return number(d.final_occupancy); });
    const bool best = driven && driven->best;
    mode["least_occupancy"] = best ? number(driven->best->occupancy) : Json(nullptr);
    mode["best_detuning_hz"] = best ? number(driven->best->detuning_hz) : Json(nullptr);
    mode["back_action_quanta"] = of([](const DrivenMode& d) { return number(d.back_action_quanta); });
    mode["feedback_limit"] = of([](const DrivenMode& d) { return number(d.feedback_limit); });
    mode["coupling_over_kappa"] = of([](const DrivenMode& d) { return number(d.coupling_over_kappa); });
}

Json mode_json(const ModeInCavity& m) {
    Json mode{{"index", m.index},
              {"label", m.label},
              {"frequency_hz", number(m.mode.frequency_hz)},
              {"linewidth_hz", number(m.mode.linewidth_hz)},
              {"thermal_occupancy", number(m.mode.thermal_occupancy)},
              {"overlap", number(m.overlap)},
              {"g0_hz", number(m.mode.g0_hz)},
              {"single_photon_cooperativity", number(m.single_photon_cooperativity)},
              {"thermal_cavity_noise_rms_hz", number(m.thermal_rms_hz)},
              {"detuning_hz", number(m.detuning_hz)}};
    add_driven(m.driven, mode);
    mode["power_for_quantum_cooperativity_w"] = number(m.power_for_quantum_cooperativity_w);
    mode["back_action_limit"] = number(m.back_action_limit);
    return mode;
}

Json noise_json(const CavityReport& r) {
    Json mixed = Json::array(), quiet = Json::array();
    for (const MixedTone& m : r.noise.nearest)
        mixed.push_back({{"modes", {r.modes[m.first].label, r.modes[m.second].label}},
                         {"sum", m.sum},
                         {"frequency_hz", number(m.tone.frequency_hz)},
                         {"linewidth_hz", number(m.tone.linewidth_hz)},
                         {"rms_hz", number(m.tone.rms_hz)}});
    for (const QuietFrequency& q : r.noise.quiet)
        quiet.push_back({{"frequency_hz", number(q.frequency_hz)}, {"mixes_with", q.loud}});
    return {{"all_modes", r.noise.all_modes},
            {"listed_modes_rms_hz", number(r.noise.listed_rms_hz)},
            {"over_half_kappa", number(r.noise.over_half_kappa)},
            {"wanted_mode", r.modes[r.wanted].label},
            {"own_peak_hz_per_rthz", number(r.noise.at_wanted.own)},
            {"other_modes_hz_per_rthz", number(r.noise.at_wanted.others)},
            {"mixed_pairs_hz_per_rthz", number(r.noise.at_wanted.mixed)},
            {"mixed_pairs", mixed},
            {"quiet_frequencies", quiet}};
}

Json heat_json(const std::optional<CavityHeat>& h) {
    if (!h) return nullptr;
    return {{"absorbed_w", number(h->absorbed_w)},
            {"hottest_k", number(h->hottest_k)},
            {"relative_shift", number(h->relative_shift)}};
}

}  // namespace

void write_json(std::ostream& out, const CavityReport& r) {
    Json root = json_head(r.title, r.sha256);
    root["wavelength_m"] = number(r.wavelength_m);
    root["temperature_k"] = number(r.temperature_k);
    root["waist_m"] = number(r.settings.waist.si());
    root["power_w"] = r.settings.power ? number(r.settings.power->si()) : Json(nullptr);
    root["film"] = {{"reflectivity", number(r.film.reflectivity)},
                    {"transmission", number(r.film.transmission)},
                    {"absorption", number(r.film.absorption)}};
    root["positions"] = Json::array();
    for (const CavityPoint& p : r.travel.points) root["positions"].push_back(point_json(p));
    root["place"] = point_json(r.travel.place);
    root["largest_linear_coupling_hz_per_m"] = number(std::abs(r.travel.place.linear_coupling_hz_per_m));
    root["largest_quadratic_coupling_hz_per_m2"] = number(r.travel.largest_quadratic_coupling_hz_per_m2);
    root["kappa_mean_hz"] = number(r.travel.kappa_mean_hz);
    root["kappa_film_mean_hz"] = number(r.travel.kappa_film_mean_hz);
    root["mode_spacing_hz"] = number(r.travel.mode_spacing_hz);
    root["finesse"] = number(r.travel.finesse);
    root["modes"] = Json::array();
    for (const ModeInCavity& m : r.modes) root["modes"].push_back(mode_json(m));
    root["thermal_cavity_noise_rms_hz"] = number(r.noise.rms_hz);
    root["noise"] = noise_json(r);
    root["bistable_power_w"] = number(r.bistable_power_w);
    root["unstable_power_w"] = r.unstable ? number(r.unstable->power_w) : Json(nullptr);
    root["unstable_detuning_hz"] = r.unstable ? number(r.unstable->detuning_hz) : Json(nullptr);
    root["unstable_mode"] = r.unstable ? Json(r.unstable_mode) : Json(nullptr);
    root["heat"] = heat_json(r.heat);
    root["sources"] = sources_json(r.sources);
    root["warnings"] = warnings_json(r.warnings);
    root["cautions"] = cavity_cautions();
    print(out, root);
}

}  // namespace tymbal

#include "tymbal/print/write_plan.h"

#include "json_parts.h"
#include "json_results.h"
#include "light_words.h"

namespace tymbal {

namespace {

Json landmarks_json(const std::vector<Landmark>& marks) {
    Json list = Json::array();
    for (const Landmark& mark : marks)
        list.push_back({{"at_m", number(mark.at)}, {"slope_per_m", number(mark.slope_per_m)}});
    return list;
}

Json light_json(const LightPlan& l) {
    return {{"wavelength_m", number(l.wavelength_m)},
            {"film_index", number(l.film_index.real())},
            {"seen_as", name_of(l.seen_as)},
            {"pitch_in_wavelengths", number(l.pitch_in_wavelengths)},
            {"film_extinction", number(l.film_index.imag())},
            {"below", l.below},
            {"gap_m", number(l.gap_m)},
            {"order_coupling", number(l.coupling)},
            {"orders_coupled", l.coupled},
            {"reflectivity", number(l.here.reflectivity)},
            {"absorbed_in_film", number(l.here.absorption)},
            {"slope_per_m", number(l.here.slope_per_m)},
            {"slope_std_per_m", number(l.slope_std_per_m)},
            {"relative_slope_per_m", number(l.relative_slope_per_m)},
            {"best_slope_per_m", number(l.best_slope_per_m)},
            {"blind", l.blind},
            {"half_slope_gap_m", l.blind ? Json(nullptr) : Json{number(l.half.low), number(l.half.high)}},
            {"blind_gaps", landmarks_json(l.gaps.blind)},
            {"best_gaps", landmarks_json(l.gaps.best)},
            {"blind_wavelengths", landmarks_json(l.wavelengths.blind)},
            {"best_wavelengths", landmarks_json(l.wavelengths.best)},
            {"usual_lasers", landmarks_json(l.usual)}};
}

Json heat_json(const HeatPlan& h) {
    Json cold = Json::array();
    for (const HeatPlan::Cold& c : h.cold)
        cold.push_back({{"temperature_k", number(c.temperature_k)},
                        {"stress_pa", number(c.stress_pa)},
                        {"stress_std_pa", number(c.stress_std_pa)},
                        {"frequency_factor", number(c.frequency_factor)}});
    return {{"hottest_k_per_w", number(h.at_spot.hottest_k_per_w)},
            {"mean_k_per_w", number(h.at_spot.mean_k_per_w)},
            {"stress_drop_pa_per_w", number(h.at_spot.stress_drop_pa_per_w)},
            {"radiated_share", number(h.at_spot.radiated_share)},
            {"temperature_relative_std", number(h.temperature_share)},
            {"shift_relative_std", number(h.shift_share)},
            {"emissivity_taken", number(h.emissivity)},
            {"absorbed_share", number(h.absorbed_share)},
            {"absorbed_share_std", number(h.absorbed_std)},
            {"chip_shift_per_k", number(h.shift_per_kelvin)},
            {"chip_shift_per_k_std", number(h.shift_per_kelvin_std)},
            {"cool_down", cold}};
}

Json neighbour_json(const std::optional<Neighbour>& n) {
    if (!n) return nullptr;
    return {{"name", n->name},
            {"frequency_hz", number(n->at_hz)},
            {"offset_hz", number(n->offset_hz)},
            {"within_errors", n->within}};
}

Json spot_json(const std::optional<SpotChoice>& s) {
    if (!s) return nullptr;
    return {{"x_m", number(s->at.x)}, {"y_m", number(s->at.y)}, {"overlap", number(s->overlap)}};
}

Json band_json(const std::optional<QualityBand>& band) {
    if (!band) return nullptr;
    return {{"middle", number(band->value)}, {"low", number(band->low)}, {"high", number(band->high)}};
}

Json search_json(const Timing& t) {
    return {{"window_low_hz", number(t.window_low_hz)},
            {"window_high_hz", number(t.window_high_hz)},
            {"linewidth_hz", number(t.linewidth_hz)},
            {"linewidth_low_hz", number(t.narrowest_hz)},
            {"linewidth_high_hz", number(t.widest_hz)},
            {"resolution_bandwidth_hz", number(t.resolution_hz)},
            {"record_s", number(t.record_s)},
            {"step_hz", number(t.step_hz)},
            {"settle_s", number(t.settle_s)},
            {"sweep_s", number(t.sweep_s)},
            {"amplitude_time_s", number(t.ring_up_s)},
            {"energy_time_s", number(t.energy_time_s)},
            {"decay_db_per_s", number(t.decay_db_per_s)},
            {"ringdown_record_s", number(t.ringdown_s)}};
}

Json mode_json(const PlannedMode& m) {
    Json mode{{"index", m.index},
              {"label", m.label},
              {"partner", m.partner > 0 ? Json(m.partner) : Json(nullptr)},
              {"frequency_hz", number(m.frequency_hz)},
              {"deviation_hz", number(m.deviation_hz)},
              {"discretisation_error_hz", number(m.numerics_hz)},
              {"quality", band_json(m.quality)},
              {"quality_measured", m.measured},
              {"limited_by", m.limited_by}};
    mode.update(search_json(m.timing));
    mode["cubic_stiffness_n_per_m3"] = number(m.duffing.cubic);
    mode["cubic_stiffness_relative_error"] = number(m.duffing.error);
    mode["drive_ceiling_m"] = number(m.drive_ceiling_m);
    mode["thermal_rms_m"] = number(m.thermal_rms_m);
    mode["spot_overlap"] = number(m.overlap);
    mode["peak_m_per_rthz"] = number(m.peak_m_per_rthz);
    mode["peak_relative_per_rthz"] = number(m.peak_relative_per_rthz);
    mode["peak_over_shot_noise"] = number(m.peak_over_shot_noise);
    mode["hidden"] = m.hidden.empty() ? Json(nullptr) : Json(m.hidden);
    mode["best_spot"] = spot_json(m.best);
    mode["shift_per_absorbed_w"] = number(m.shift_per_absorbed_watt);
    mode["absorbed_limit_w"] = number(m.absorbed_limit_w);
    mode["power_limit_w"] = number(m.power_limit_w);
    mode["pressure_limit_pa"] = number(m.pressure_limit_pa);
    mode["pressure_limit_low_pa"] = number(m.pressure_low_pa);
    mode["pressure_limit_high_pa"] = number(m.pressure_high_pa);
    mode["trapped_shift_hz_per_pa"] = number(m.trapped_shift_hz_per_pa);
    mode["chip_mobility_s_per_kg"] = m.chip_mobility ? Json{{"low", number(m.chip_mobility->low)},
                                                            {"middle", number(m.chip_mobility->middle)},
                                                            {"high", number(m.chip_mobility->high)}}
                                                     : Json(nullptr);
    mode["chip_radiation"] = band_json(m.chip_radiation);
    mode["nearest_chip_mode"] = neighbour_json(m.chip_mode);
    mode["nearest_harmonic"] = neighbour_json(m.harmonic);
    return mode;
}

Json gap_gas_json(const GapGas& g) {
    return {{"regime", g.regime},
            {"knudsen_gap", number(g.knudsen_gap)},
            {"knudsen_film", number(g.knudsen_film)},
            {"shift_hz", number(g.shift_hz)},
            {"shift_low_hz", 0.0},
            {"shift_high_hz", number(3.0 * g.shift_hz)},
            {"omega_tau", number(g.omega_tau)},
            {"quality", number(g.quality)}};
}

Json chip_json(const ChipModel& chip) {
    Json modes = Json::array();
    for (const PlateMode& m : chip.modes)
        modes.push_back({{"frequency_hz", number(m.frequency_hz)},
                         {"error_hz", number(m.error_hz)},
                         {"shear_lowers_hz", number(m.thick_hz)}});
    return {{"spacing_hz", number(chip.spacing_hz)}, {"reach_hz", number(chip.reach_hz)}, {"modes", modes}};
}

}  // namespace

Json plan_json(const Plan& plan) {
    Json root = json_head(plan.title, plan.sha256);
    root["conventions"] = {{"linewidth", "full width at half maximum of the power spectrum"},
                           {"spectrum", "one-sided, per root hertz"},
                           {"amplitude", "peak, at the antinode"},
                           {"decay", "amplitude_time is that of the amplitude, energy_time half of it"},
                           {"window", "two standard deviations to either side"}};
    root["allowed_shift"] = number(plan.options.allowed_shift);
    root["gas_share"] = number(plan.options.gas_share);
    root["temperature_k"] = number(plan.temperature_k);
    root["deviations_assumed"] = plan.assumed;
    root["gas"] = plan.gas.empty() ? Json(nullptr) : Json(plan.gas);
    root["gap_gas"] = plan.gap_gas ? gap_gas_json(*plan.gap_gas) : Json(nullptr);
    root["light"] = plan.light ? light_json(*plan.light) : Json(nullptr);
    root["heat"] = plan.heat ? heat_json(*plan.heat) : Json(nullptr);
    root["chip"] = plan.chip ? chip_json(*plan.chip) : Json(nullptr);
    root["common_spot"] = spot_json(plan.common_spot);
    root["count"] = {{"below_hz", number(plan.count_below_hz)}, {"counted", plan.counted}, {"weyl", number(plan.weyl)}};
    root["modes"] = Json::array();
    for (const PlannedMode& m : plan.modes) root["modes"].push_back(mode_json(m));
    root["sources"] = sources_json(plan.sources);
    root["warnings"] = warnings_json(plan.warnings);
    root["cautions"] = {"lasers: class, eyewear, enclosure and beam path are the laser safety officer's",
                        "vacuum and cryogens: implosion, high voltage, burns, asphyxiation; local rules decide"};
    return root;
}

void write_json(std::ostream& out, const Plan& plan) {
    print(out, plan_json(plan));
}

}  // namespace tymbal

#include "tymbal/task/plan.h"

#include "measured_gas.h"
#include "plan_deviations.h"
#include "plan_light.h"
#include "printed.h"

#include "tymbal/base/constants.h"
#include "tymbal/base/error.h"
#include "tymbal/base/nearest.h"
#include "tymbal/quality/gas.h"
#include "tymbal/readout/refractive_index.h"
#include "tymbal/task/named_mode.h"

#include <algorithm>
#include <cmath>
#include <iterator>

namespace tymbal {

namespace {

using constants::pi;
constexpr double hidden_overlap = 0.03;  // one part in a thousand of the antinode's power
constexpr double hidden_slope = 0.02;    // of the best gap's

double loss_of(const LossTerm& term, double QualityBand::*which) {
    return term.quality ? 1.0 / ((*term.quality).*which) : 0.0;
}

/// 1/Q of gas per pascal at one end of its bands, from a pressure at which free molecules rule everywhere.
double gas_loss_per_pa(const Mode& mode, const LossInputs& thin, double QualityBand::*which) {
    return (loss_of(gas_loss(mode, thin), which) + loss_of(squeeze_film_loss(mode, thin), which)) /
           thin.surroundings->pressure.si();
}

double other_losses(const LossBudget& budget) {
    double sum = 0.0;
    for (const LossTerm& term : budget.terms)
        if (term.name != "intrinsic" && term.name != "gas" && term.name != "squeeze_film")
            sum += loss_of(term, &QualityBand::value);
    return sum;
}

/// The design's gas, or nitrogen, at a pressure low enough for free molecules.
std::optional<Surroundings> thin_gas(const Device& device, const Materials& materials) {
    const Source source{"far below any change of regime", Origin::fallback};
    const Sourced<Pressure> low(Pressure::from_si(1e-5), Pressure{}, source);
    if (device.surroundings) return Surroundings{device.surroundings->gas, low};
    const auto nitrogen = materials.gases.find("nitrogen");
    if (nitrogen == materials.gases.end()) return std::nullopt;
    return Surroundings{nitrogen->second, low};
}

/// Pressure at which the mean free path is ten times the outline's size (and the gap's): formulas end there.
double ballistic_limit_pa(const LossInputs& thin) {
    const double size = std::max(std::sqrt(thin.outline_area), thin.gap ? thin.gap->si() : 0.0);
    return thin.surroundings->pressure.si() * mean_free_path_m(*thin.surroundings, thin.film.temperature.si()) /
           (10.0 * size);
}

void plan_gas(const LossInputs& thin, const PredictedMode& predicted, double share, PlannedMode& out) {
    // A measured loss is a whole of its own: gas may be its share, whatever the budget makes of the rest.
    const double others = out.measured ? (1.0 - share) / out.quality.value : other_losses(predicted.losses);
    const auto limit = [&](double QualityBand::*which) {
        const double p = pressure_for_share(share, gas_loss_per_pa(predicted.mode, thin, which), others);
        return std::min(p, ballistic_limit_pa(thin));
    };
    if (!(others > 0.0)) return;
    out.pressure_limit_pa = limit(&QualityBand::value);
    out.pressure_low_pa = limit(&QualityBand::low);
    out.pressure_high_pa = limit(&QualityBand::high);
    if (!thin.gap) return;
    // d(omega^2) = p/(rho h g) for molecules that the walls take up, three times that for mirror-like walls [derived].
    const double solid_mass = thin.film.density.si() * thin.film.thickness.si();
    out.trapped_shift_hz_per_pa = 1.0 / (8.0 * pi * pi * out.frequency_hz * solid_mass * thin.gap->si());
}

void plan_signal(const Device& device, const std::optional<LightPlan>& light, const PredictedMode& predicted,
                 PlannedMode& out) {
    const Mode& mode = predicted.mode;
    const double temperature = device.film.temperature.si(), mass = mode.integrals.mass;
    out.thermal_rms_m = thermal_rms_m(mode.frequency_hz, mass, temperature);
    if (!device.readout) return;
    out.overlap = predicted.figures.spot_overlap;
    const double antinode = thermal_peak_m_per_rthz(mode.frequency_hz, mass, out.quality.value, temperature);
    out.peak_m_per_rthz = antinode * std::abs(*out.overlap);
    if (!light || !light->gap_m || light->below == "none") return;
    out.peak_relative_per_rthz = *out.peak_m_per_rthz * std::abs(light->relative_slope_per_m);
    const double detected = device.readout->power ? device.readout->power->si() * light->here.reflectivity : 0.0;
    if (detected > 0.0)
        out.peak_over_shot_noise = *out.peak_relative_per_rthz / shot_noise_per_rthz(light->wavelength_m, detected);
}

std::string why_hidden(const std::optional<LightPlan>& light, const PlannedMode& mode) {
    if (light && light->best_slope_per_m > 0.0 &&
        std::abs(light->here.slope_per_m) < hidden_slope * light->best_slope_per_m)
        return "blind gap";
    if (mode.overlap && mode.best && mode.best->overlap < 5.0 * hidden_overlap) return "spot wider than half-waves";
    if (mode.overlap && std::abs(*mode.overlap) < hidden_overlap) return "spot on a nodal line";
    if (mode.peak_over_shot_noise && *mode.peak_over_shot_noise < 1.0) return "below shot noise";
    return "";
}

void plan_power(const HeatPlan& heat, double allowed, std::size_t k, PlannedMode& out) {
    out.shift_per_absorbed_watt = heat.at_spot.relative_shift_per_w[k];
    if (out.shift_per_absorbed_watt == 0.0) return;
    out.absorbed_limit_w = allowed / std::abs(out.shift_per_absorbed_watt);
    // The film may absorb one deviation more than its middle value.
    if (heat.absorbed_share > 0.0)
        out.power_limit_w = *out.absorbed_limit_w / (heat.absorbed_share + heat.absorbed_std);
}

std::optional<ChipModel> plan_chip(const Device& device, const Materials& materials, double highest_hz) {
    if (!device.chip || device.chip->width.si() <= 0.0 || device.chip->length.si() <= 0.0) return std::nullopt;
    return chip_model(*device.chip, substrate_of(device, materials), highest_hz);
}

void plan_neighbours(const Plan& plan, const ModeSet& set, double film_mass, std::size_t k, PlannedMode& out) {
    out.harmonic = nearest_harmonic(set.modes, k, out.timing.widest_hz);
    if (!plan.chip) return;
    out.chip_mobility = mobility_band(*plan.chip, out.frequency_hz, out.deviation_hz);
    out.chip_radiation = chip_radiation(set.modes[k], film_mass, *out.chip_mobility);
    if (out.frequency_hz < plan.chip->reach_hz)
        out.chip_mode = nearest_chip_mode(plan.chip->modes, out.frequency_hz, out.deviation_hz);
}

/// The budget's Q, or the measured one.
void take_quality(const PredictedMode& p, const PlanOptions& options, PlannedMode& out) {
    out.quality = p.losses.total;
    out.limited_by = p.losses.limited_by;
    for (const auto& [name, quality] : options.measured_q) {
        if (!has_name(p.mode, name)) continue;
        out.quality = {quality, quality, quality};
        out.measured = true;
    }
}

std::vector<PlannedMode> begin_modes(const SolvedDesign& solved, const Prediction& prediction,
                                     const std::vector<double>& sigmas, const PlanOptions& options) {
    const std::vector<Duffing> stiffening = duffing(solved.set);
    std::vector<PlannedMode> modes;
    for (std::size_t k = 0; k < prediction.modes.size(); ++k) {
        const PredictedMode& p = prediction.modes[k];
        PlannedMode m;
        m.index = p.mode.index;
        m.label = p.mode.label;
        m.partner = p.mode.partner;
        m.frequency_hz = p.mode.frequency_hz;
        m.deviation_hz = sigmas[k];
        m.numerics_hz = p.mode.discretisation_error_hz;
        take_quality(p, options, m);
        m.timing = timing(m.frequency_hz, m.deviation_hz, m.quality);
        m.duffing = stiffening[k];
        m.drive_ceiling_m = half_width_amplitude_m(m.duffing, m.quality.value);
        modes.push_back(std::move(m));
    }
    return modes;
}

/// Overlap maps, best spot of each mode and of those aimed at.
void plan_spots(const Device& device, const ModeSet& set, Plan& plan) {
    std::vector<std::vector<double>> maps;
    for (const Mode& mode : set.modes) maps.push_back(overlap_map(mode.shape, device.readout->spot_radius.si()));
    std::vector<const std::vector<double>*> aimed;
    for (std::size_t k = 0; k < maps.size(); ++k) {
        plan.modes[k].best = best_spot(set.modes[k].shape, {&maps[k]});
        const auto& aim = plan.options.aim;
        if (aim.empty() || std::find(aim.begin(), aim.end(), set.modes[k].label) != aim.end())
            aimed.push_back(&maps[k]);
    }
    plan.common_spot = best_spot(set.modes.front().shape, aimed);
}

void require_modes(const std::vector<std::pair<std::string, double>>& named, const std::vector<Mode>& modes) {
    for (const auto& [name, quality] : named)
        if (!find_mode(modes, name))
            throw NoAnswer("no planned mode is called '" + name + "'; there are " + list_labels(modes) +
                           ". Ask for more modes or another one");
}

void require_labels(const std::vector<std::string>& aim, const std::vector<Mode>& modes) {
    std::vector<std::string> labels;
    for (const Mode& mode : modes) labels.push_back(mode.label);
    for (const std::string& wanted : aim)
        if (std::find(labels.begin(), labels.end(), wanted) == labels.end())
            throw NoAnswer("no planned mode has the label '" + wanted + "'" + suggestion(wanted, labels) +
                           "; ask for more modes or another label");
}

void count_modes(const Device& device, const Prediction& prediction, Plan& plan) {
    const EffectiveFilm& film = prediction.film;
    const double tension = 0.5 * (film.tension_x_n_per_m + film.tension_y_n_per_m);
    plan.counted = static_cast<int>(plan.modes.size());
    plan.count_below_hz = plan.modes.back().frequency_hz;
    if (tension > 0.0)
        plan.weyl = weyl_count(film.outline_area_m2, perimeter(boundary(device.outline)),
                               std::sqrt(tension / film.areal_density_kg_per_m2), plan.count_below_hz);
}

/// The gap's gas under the lowest mode, at the pressure of the design.
void plan_gap(const Device& device, const LossInputs& inputs, const Prediction& prediction, Plan& plan) {
    const EffectiveFilm& film = prediction.film;
    const double tension = 0.5 * (film.tension_x_n_per_m + film.tension_y_n_per_m);
    if (!(tension > 0.0)) return;
    const Mode& lowest = prediction.modes.front().mode;
    const double wave_number = 2.0 * pi * lowest.frequency_hz * std::sqrt(film.areal_density_kg_per_m2 / tension);
    plan.gap_gas = gap_gas(lowest, inputs, wave_number);
    if (plan.gap_gas && plan.gap_gas->shift_hz > plan.modes.front().deviation_hz)
        plan.warnings.push_back({"trapped-gas",
                                 "gas trapped under the film may raise the lowest frequency by more than "
                                 "its other uncertainties at the design's pressure; log the pressure "
                                 "with every frequency"});
    if (plan.gap_gas && plan.gap_gas->quality && !device.holes)
        plan.warnings.push_back({"gap-walls",
                                 "the film has no holes: the gap's damping is that of a gap open at its "
                                 "rim; behind a closed rim gas stays and only stiffens"});
}

/// A measured Q that the design's gas does not allow.
void warn_measured(const Device& device, const Prediction& prediction, Plan& plan) {
    for (std::size_t k = 0; k < plan.modes.size(); ++k) {
        const PlannedMode& m = plan.modes[k];
        const std::optional<QualityBand> gas = gas_quality(prediction.modes[k].losses);
        if (!m.measured || !gas || !device.surroundings) continue;
        const double share = m.quality.value / gas->value;
        if (share < plan.options.gas_share) continue;
        const std::string text = printed(
            "gas at the design's pressure alone leaves %s a Q of %.2g (%.2g to %.2g), and %.2g was measured: %s",
            m.label.c_str(), gas->value, gas->low, gas->high, m.quality.value,
            m.quality.value > gas->high  ? "the pressure was lower than the design's"
            : m.quality.value > gas->low ? "gas alone explains it"
                                         : "gas makes a notable part of the loss");
        plan.warnings.push_back({"gas-measured", text});
    }
}

void warn_plan(const Device& device, Plan& plan) {
    const auto count = [&](auto&& test) {
        return std::to_string(std::count_if(plan.modes.begin(), plan.modes.end(), test));
    };
    const auto all = std::to_string(plan.modes.size());
    const auto hot = [&](const PlannedMode& m) {
        return m.power_limit_w && plan.power_w && *plan.power_w > *m.power_limit_w;
    };
    if (std::any_of(plan.modes.begin(), plan.modes.end(), hot))
        plan.warnings.push_back({"power", "the readout power moves " + count(hot) + " of " + all +
                                              " modes by more than the allowed shift; lower it or log it with every "
                                              "frequency"});
    const auto gassy = [&](const PlannedMode& m) {
        return device.surroundings && m.pressure_limit_pa && device.surroundings->pressure.si() > *m.pressure_limit_pa;
    };
    if (std::any_of(plan.modes.begin(), plan.modes.end(), gassy))
        plan.warnings.push_back({"pressure", "at the design's pressure gas takes more than its share of the loss of " +
                                                 count(gassy) + " of " + all + " modes"});
    const auto doubled = [](const PlannedMode& m) { return m.harmonic && m.harmonic->within; };
    if (std::any_of(plan.modes.begin(), plan.modes.end(), doubled))
        plan.warnings.push_back({"harmonic", count(doubled) + " of " + all +
                                                 " modes cannot be told from a harmonic of a lower mode by frequency; "
                                                 "check that the line does not follow the square of the drive"});
    const auto restless = [](const PlannedMode& m) { return 2.0 * m.thermal_rms_m > m.drive_ceiling_m; };
    if (std::any_of(plan.modes.begin(), plan.modes.end(), restless))
        plan.warnings.push_back(
            {"thermal-duffing", "thermal motion alone reaches half the largest drive amplitude of " + count(restless) +
                                    " of " + all + " modes: their thermal lines are broadened by stretching"});
    if (plan.chip && plan.modes.front().frequency_hz > plan.chip->reach_hz)
        plan.warnings.push_back({"chip-reach",
                                 "the modes lie above the range in which single chip modes can be placed; coincidences "
                                 "cannot be predicted, the radiation band is that of a resonant chip"});
}

}  // namespace

Plan plan(const Device& device, const Materials& materials, const PlanOptions& options, const Progressed& progressed,
          Effort effort) {
    effort.brief = true;
    const SolvedDesign solved = solve(device, effort);
    tell(progressed, 0.85);
    const Prediction prediction = complete(device, materials, solved, effort.light);
    tell(progressed, 0.9);
    const ModeSet& set = solved.set;
    require_labels(options.aim, set.modes);
    require_modes(options.measured_q, set.modes);
    Plan out;
    out.title = device.title;
    out.sha256 = device.sha256;
    out.options = options;
    out.temperature_k = device.film.temperature.si();
    if (device.readout && device.readout->power) out.power_w = device.readout->power->si();
    out.warnings = prediction.warnings;
    out.light = plan_light(device, materials, out.warnings);
    out.sources = prediction.sources;
    if (out.light && out.light->below != "none") {
        const Dispersion& index = *materials.solids.at(device.readout->below).index;
        out.sources.push_back({"index of " + device.readout->below, index_at(index, device.readout->wavelength.si()).n,
                               index.deviation, "1",
                               index.source.citation + " [" + to_string(index.source.origin) + "]"});
    }
    out.heat = plan_heat(device, materials, solved, out.light);
    tell(progressed, 0.92);
    out.chip = plan_chip(device, materials, set.modes.back().frequency_hz);
    tell(progressed, 0.93);
    out.assumed = states_nothing(set);
    out.modes = begin_modes(solved, prediction, frequency_deviations(device, materials, set, out.assumed), options);
    tell(progressed, 0.98);
    if (device.readout) plan_spots(device, set, out);
    const Solid& substrate = substrate_of(device, materials);
    LossInputs thin = loss_inputs(device, solved.laid, substrate);
    plan_gap(device, thin, prediction, out);
    thin.surroundings = thin_gas(device, materials);
    if (thin.surroundings) out.gas = thin.surroundings->gas.row;
    for (std::size_t k = 0; k < out.modes.size(); ++k) {
        PlannedMode& mode = out.modes[k];
        plan_signal(device, out.light, prediction.modes[k], mode);
        mode.hidden = why_hidden(out.light, mode);
        if (out.heat) plan_power(*out.heat, options.allowed_shift, k, mode);
        if (thin.surroundings) plan_gas(thin, prediction.modes[k], options.gas_share, mode);
        plan_neighbours(out, set, prediction.film.mass_kg, k, mode);
    }
    count_modes(device, prediction, out);
    warn_plan(device, out);
    warn_measured(device, prediction, out);
    if (out.modes.front().measured)  // the gas's share of a predicted loss says nothing of a measured one
        out.warnings.erase(std::remove_if(out.warnings.begin(), out.warnings.end(),
                                          [](const Warning& w) { return w.code == "gas-limited"; }),
                           out.warnings.end());
    return out;
}

}  // namespace tymbal

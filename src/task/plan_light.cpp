#include "plan_light.h"

#include "gap_light.h"

#include "tymbal/base/error.h"
#include "tymbal/film/thermal_stress.h"
#include "tymbal/light/lines.h"
#include "tymbal/readout/refractive_index.h"
#include "tymbal/task/seen_film.h"

#include <algorithm>
#include <array>
#include <cmath>

namespace tymbal {

namespace {

// Laser lines in common use round such experiments (common practice, no published source).
constexpr std::array<double, 7> usual_lines{532e-9, 633e-9, 780e-9, 850e-9, 980e-9, 1064e-9, 1550e-9};
constexpr double emissivity = 0.1;  // of films of 50 to 200 nm near room temperature: 0.05 to 0.2 (from memory)

/// How far the slope moves by one deviation of film thickness, film index and substrate index, and by numerics.
double slope_deviation(const Device& device, const Materials& materials, double wavelength, double gap) {
    const auto point = [&](const FilmMove& by, double substrate) {
        return gap_light(device, materials, {wavelength, gap, by, substrate})(gap);
    };
    const GapPoint here = point({}, 0.0);
    const auto moved = [&](const FilmMove& by, double substrate) {
        return point(by, substrate).slope_per_m - here.slope_per_m;
    };
    const double ns = materials.solids.at(device.readout->below).index->deviation;
    return std::hypot(std::hypot(moved({device.film.thickness.deviation_si()}, 0.0),
                                 moved({0.0, device.film.index.deviation}, 0.0), moved({}, ns)),
                      here.slope_error_per_m);
}

/// A constant of the table holds in its range only; one of the design file holds where the design uses it.
bool known(const Dispersion& index, double wavelength) {
    const double um = wavelength * 1e6;
    const bool constant = index.terms.empty() && index.points.empty();
    if (constant) return index.to_um == 0.0 || (um >= index.from_um && um <= index.to_um);
    return index_at(index, wavelength).inside;
}

bool index_known(const Device& device, const Materials& materials, double wavelength) {
    return known(device.film.index, wavelength) &&
           (device.readout->below == "none" || known(*materials.solids.at(device.readout->below).index, wavelength));
}

void add_landmarks(const Device& device, const Materials& materials, LightPlan& plan) {
    const double gap = *plan.gap_m, wavelength = plan.wavelength_m;
    const double least = std::max(0.0, gap - 0.5 * wavelength);
    plan.slope_std_per_m = slope_deviation(device, materials, wavelength, gap);
    const auto by_gap = [light = gap_light(device, materials, {wavelength, least})](double g) {
        return light(g).slope_per_m;
    };
    plan.gaps = find_landmarks(by_gap, std::max(0.0, gap - 0.3 * wavelength), gap + 0.3 * wavelength, 240);
    plan.half = half_slope(by_gap, gap, std::min(gap, 0.5 * wavelength));
    const Landmarks period = find_landmarks(by_gap, gap, gap + 0.55 * wavelength, 240);
    plan.best_slope_per_m = std::abs(plan.here.slope_per_m);  // where orders couple, the next period's are smaller
    for (const Landmark& mark : period.best)
        plan.best_slope_per_m = std::max(plan.best_slope_per_m, std::abs(mark.slope_per_m));
    plan.blind = std::abs(plan.here.slope_per_m) < 0.1 * plan.best_slope_per_m;
    const WavelengthRange near{0.9 * wavelength, 1.1 * wavelength};
    const auto by_wavelength = [light = gap_light_between(device, materials, gap, near)](double l) {
        return light(l).slope_per_m;
    };
    plan.wavelengths = find_landmarks(by_wavelength, near.from_m, near.to_m, 400);
    for (const double line : usual_lines)
        if (index_known(device, materials, line))
            plan.usual.push_back({line, gap_light(device, materials, {line, gap})(gap).slope_per_m});
}

void warn_light(const Device& device, const Materials& materials, const LightPlan& plan, Warnings& warnings) {
    if (plan.below != "none" && !known(*materials.solids.at(plan.below).index, plan.wavelength_m))
        warnings.push_back({"substrate-index-range",
                            "the probe wavelength lies outside the index data of the substrate; the nearest value is "
                            "taken, reflectivity and slope are an orientation only"});
    if (!plan.gap_m || plan.below == "none") return;
    if (plan.blind)
        warnings.push_back({"blind-gap",
                            "the gap is nearly blind at this wavelength: reflected power hardly follows the film; see "
                            "the better wavelengths, the sacrificial thickness cannot be changed once the wafer is "
                            "bought"});
    if (!plan.blind && device.release &&
        std::min(plan.half.high - *plan.gap_m, *plan.gap_m - plan.half.low) < 0.03 * *plan.gap_m)
        warnings.push_back({"gap-tolerance",
                            "three per cent of gap are enough to lose half of the readout's slope; measure the "
                            "sacrificial layer's thickness before trusting expected levels"});
}

HeatPlan::Cold cool(const Device& device, const Solid& frame, double to_k) {
    const Film& f = device.film;
    const Sourced<Stress> cold = stress_at(f.stress, f.temperature.si(), to_k, f.youngs_modulus, f.poisson_ratio,
                                           f.thermal_expansion, *frame.thermal_expansion);
    return {to_k, cold.si(), cold.deviation_si(), std::sqrt(std::max(0.0, cold.si() / f.stress.si()))};
}

/// df/f per kelvin of chip and film together: half of d ln(stress).
void add_chip_temperature(const Device& device, const Solid& frame, HeatPlan& plan) {
    const Film& f = device.film;
    const double stiff = f.youngs_modulus.si() / (1.0 - f.poisson_ratio.si()) / (2.0 * f.stress.si());
    plan.shift_per_kelvin = stiff * (frame.thermal_expansion->si() - f.thermal_expansion.si());
    plan.shift_per_kelvin_std =
        std::abs(stiff) * std::hypot(frame.thermal_expansion->deviation_si(), f.thermal_expansion.deviation_si());
    for (const double cold_k : {77.0, 4.0})
        if (cold_k < f.temperature.si()) plan.cold.push_back(cool(device, frame, cold_k));
}

}  // namespace

std::optional<LightPlan> plan_light(const Device& device, const Materials& materials, Warnings& warnings) {
    if (!device.readout) return std::nullopt;
    LightPlan plan;
    plan.wavelength_m = device.readout->wavelength.si();
    if (solid_layers(device.film, plan.wavelength_m).empty()) return std::nullopt;
    plan.film_index = seen_index(device, plan.wavelength_m);
    plan.seen_as = seen_as(device, plan.wavelength_m);
    if (device.holes) plan.pitch_in_wavelengths = device.holes->pitch.si() / plan.wavelength_m;
    plan.below = device.readout->below;
    if (device.release) plan.gap_m = device.release->gap.si();
    const double gap = plan.gap_m.value_or(0.0);
    if (plan.seen_as == SeenAs::lattice && plan.gap_m && plan.below != "none")
        plan.coupling = coupling_across(lattice_of(*device.holes), plan.wavelength_m, gap);
    plan.coupled = couples(device, plan.wavelength_m, gap);
    plan.here = gap_light(device, materials, {plan.wavelength_m, gap})(gap);
    plan.relative_slope_per_m = plan.here.slope_per_m / plan.here.reflectivity;
    if (plan.gap_m && plan.below != "none") add_landmarks(device, materials, plan);
    warn_light(device, materials, plan, warnings);
    return plan;
}

Heating heat_at_spot(const Device& device, const SolvedDesign& solved) {
    return heating(solved.set, solved.laid.film,
                   {device.film.thermal_conductivity.si(), device.film.thermal_expansion.si(), emissivity,
                    device.film.temperature.si(), device.readout->position, device.readout->spot_radius.si()},
                   solved.laid.outline_area);
}

std::optional<HeatPlan> plan_heat(const Device& device, const Materials& materials, const SolvedDesign& solved,
                                  const std::optional<LightPlan>& light) {
    if (!light) return std::nullopt;
    HeatPlan plan;
    plan.emissivity = emissivity;
    plan.absorbed_share = light->here.absorption;
    const Sourced<Ratio>& extinction = device.film.extinction;
    constexpr double of_metal = 0.5;  // thin metals scatter round their tabled index
    if (!device.film.layers.empty())
        plan.absorbed_std = of_metal * plan.absorbed_share;
    else if (extinction.si() > 0.0)
        plan.absorbed_std = plan.absorbed_share * extinction.deviation_si() / extinction.si();
    plan.at_spot = heat_at_spot(device, solved);
    const auto share = [](const auto& v) { return v.deviation_si() / std::abs(v.si()); };
    plan.temperature_share = share(device.film.thermal_conductivity);
    plan.shift_share = std::hypot(
        plan.temperature_share, device.film.thermal_expansion.si() != 0.0 ? share(device.film.thermal_expansion) : 0.0,
        share(device.film.youngs_modulus));
    const Solid& frame = substrate_of(device, materials);
    if (frame.thermal_expansion && device.film.stress.si() > 0.0) add_chip_temperature(device, frame, plan);
    return plan;
}

}  // namespace tymbal

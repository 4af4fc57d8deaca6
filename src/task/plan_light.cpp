#include "plan_light.h"

#include "tymbal/base/error.h"
#include "tymbal/film/thermal_stress.h"
#include "tymbal/light/lines.h"
#include "tymbal/optomechanics/refractive_index.h"
#include "tymbal/task/seen_film.h"

#include <algorithm>
#include <array>
#include <cmath>

namespace tymbal {

namespace {

// Laser lines in common use round such experiments (common practice, no published source).
constexpr std::array<double, 7> usual_lines{532e-9, 633e-9, 780e-9, 850e-9, 980e-9, 1064e-9, 1550e-9};
constexpr double emissivity = 0.1;  // of films of 50 to 200 nm near room temperature: 0.05 to 0.2 (from memory)

ComplexIndex substrate_index(const Device& device, const Materials& materials, double wavelength) {
    if (device.readout->below == "none") return 1.0;
    const Solid& row = materials.solids.at(device.readout->below);
    if (!row.index) throw NoAnswer("the material row '" + row.row + "' under the gap has no refractive index");
    const IndexAt at = index_at(*row.index, wavelength);
    return {at.n, at.extinction};
}

/// How far the slope moves by one deviation of film thickness, film index and substrate index.
double slope_deviation(const Device& device, const Materials& materials, const FilmOverGap& stack, double gap) {
    const double here = at_gap(stack, gap).slope_per_m;
    const auto film_moved = [&](const FilmMove& by) {
        const SeenFilm film = see_film(device, stack.wavelength_m, see_lattice, by)->seen;
        return at_gap({film, stack.below, stack.wavelength_m}, gap).slope_per_m - here;
    };
    const double by_thickness = film_moved({device.film.thickness.deviation_si()});
    const double by_index = film_moved({0.0, device.film.index.deviation});
    const double ns = materials.solids.at(device.readout->below).index->deviation;
    const double by_substrate = at_gap({stack.film, stack.below + ns, stack.wavelength_m}, gap).slope_per_m - here;
    return std::sqrt(by_thickness * by_thickness + by_index * by_index + by_substrate * by_substrate);
}

/// A constant of the table holds in its range only; one of the design file holds where the design uses it.
bool known(const Dispersion& index, double wavelength) {
    const double um = wavelength * 1e6;
    const bool constant = index.terms.empty() && index.points.empty();
    if (constant) return index.to_um == 0.0 || (um >= index.from_um && um <= index.to_um);
    return index_at(index, wavelength).inside;
}

FilmOverGap any_stack(const Device& device, const Materials& materials, double wavelength) {
    return {see_film(device, wavelength)->seen, substrate_index(device, materials, wavelength), wavelength};
}

/// Slope at the gap where wavelengths are tried by the hundred.
std::function<double(double)> slope_by_wavelength(const Device& device, const Materials& materials, double gap,
                                                  const WavelengthRange& range) {
    return [&device, &materials, gap, film = see_film_between(device, range.from_m, range.to_m)](double l) {
        return at_gap({film(l), substrate_index(device, materials, l), l}, gap).slope_per_m;
    };
}

void add_landmarks(const Device& device, const Materials& materials, LightPlan& plan) {
    const double gap = *plan.gap_m, wavelength = plan.wavelength_m;
    const FilmOverGap stack = any_stack(device, materials, wavelength);
    plan.slope_std_per_m = slope_deviation(device, materials, stack, gap);
    const auto by_gap = [&](double g) { return at_gap(stack, g).slope_per_m; };
    plan.gaps = find_landmarks(by_gap, std::max(0.0, gap - 0.3 * wavelength), gap + 0.3 * wavelength, 240);
    plan.half = half_slope(by_gap, gap, std::min(gap, 0.5 * wavelength));
    const Landmarks period = find_landmarks(by_gap, gap, gap + 0.55 * wavelength, 240);
    for (const Landmark& mark : period.best)
        plan.best_slope_per_m = std::max(plan.best_slope_per_m, std::abs(mark.slope_per_m));
    plan.blind = std::abs(plan.here.slope_per_m) < 0.1 * plan.best_slope_per_m;
    const WavelengthRange near{0.9 * wavelength, 1.1 * wavelength};
    plan.wavelengths = find_landmarks(slope_by_wavelength(device, materials, gap, near), near.from_m, near.to_m, 400);
    for (const double line : usual_lines)
        if (const auto there = stack_at(device, materials, line))
            plan.usual.push_back({line, at_gap(*there, gap).slope_per_m});
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

std::optional<FilmOverGap> stack_at(const Device& device, const Materials& materials, double wavelength) {
    if (!known(device.film.index, wavelength)) return std::nullopt;
    if (device.readout->below != "none" && !known(*materials.solids.at(device.readout->below).index, wavelength))
        return std::nullopt;
    return any_stack(device, materials, wavelength);
}

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
    const FilmOverGap stack = any_stack(device, materials, plan.wavelength_m);
    plan.here = at_gap(stack, plan.gap_m.value_or(0.0));
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

#include "film_warnings.h"

#include "tymbal/base/constants.h"

#include "../base/plain.h"
#include "release_warnings.h"

#include <algorithm>
#include <cmath>
#include <limits>

namespace tymbal {

namespace {

std::string percent(double share) {
    return plain(100.0 * share, 2).append(" %");
}

std::string engineering(double value, const char* unit) {
    return plain(value).append(" ").append(unit);
}

/// Largest local wave number of the modes asked for, 1/m: root of D k^4 + N k^2 = m omega^2.
double highest_wave_number(const ModeSet& set, const EffectiveFilm& film) {
    const double tension = std::max({film.tension_x_n_per_m, film.tension_y_n_per_m, 0.0});
    const double omega = 2.0 * constants::pi * set.modes.back().frequency_hz;
    const double inertia = film.areal_density_kg_per_m2 * omega * omega;
    // The form without a difference of nearly equal numbers where tension rules.
    const double k2 =
        2.0 * inertia / (tension + std::sqrt(tension * tension + 4.0 * film.bending_stiffness_n_m * inertia));
    return std::sqrt(k2);
}

double smaller_principal(const std::array<double, 3>& n) {
    return 0.5 * (n[0] + n[1]) - std::hypot(0.5 * (n[0] - n[1]), n[2]);
}

void warn_compression(const ModeSet& set, Warnings& out) {
    double least = std::numeric_limits<double>::infinity();
    for (std::size_t c = 0; c < set.fine.tension.tension.size(); ++c)
        if (set.fine.tension.known[c]) least = std::min(least, smaller_principal(set.fine.tension.tension[c]));
    if (least < 0.0 && set.fine.holes_resolved && !set.cut_stress)
        out.push_back({"compressed",
                       "part of the film is compressed (down to " + engineering(least, "N/m") +
                           "); it is taken as slack there, what that moves is in each mode's error. Narrow parts stay "
                           "flat by their bending stiffness, wide ones wrinkle"});
    else if (least < 0.0)
        out.push_back(
            {"compressed",
             "part of the film is compressed (down to " + engineering(least, "N/m") +
                 "); it is stable at this size, but wrinkles and curvature from deposition are not in the model"});
}

void warn_fracture(const Device& device, const EffectiveFilm& film, Warnings& out) {
    const Sourced<Stress>& strength = device.film.strength;
    if (film.fracture_margin > 2.0) return;
    out.push_back({"fracture", "the largest stress, " + engineering(1e-9 * film.stress_peak_von_mises_pa, "GPa") +
                                   ", is within a factor " + engineering(film.fracture_margin, "") +
                                   "of the film's strength " + engineering(1e-9 * strength.si(), "GPa") + " +- " +
                                   engineering(1e-9 * strength.deviation_si(), "GPa") +
                                   "; strength scatters widely from film to film"});
}

void warn_theory(const Device& device, const ModeSet& set, const EffectiveFilm& film, Warnings& out) {
    const double half_wave = constants::pi / highest_wave_number(set, film);
    const double h = device.film.thickness.si();
    if (h > half_wave / 20.0)
        out.push_back(
            {"thick-plate", "the film's thickness is " + percent(h / half_wave) +
                                " of the shortest half-wave asked "
                                "for; thin-plate theory leaves out shear and reads high there (above one twentieth)"});
}

void warn_averaging(const Device& device, const FilmOnOutline& laid, const ModeSet& set, const EffectiveFilm& film,
                    Warnings& out) {
    if (!laid.film.cell) return;
    const double pitch = device.holes->pitch.si();
    const double half_wave = constants::pi / highest_wave_number(set, film);
    if (pitch > 0.25 * half_wave)
        out.push_back({"averaging",
                       "the hole pitch is " + percent(pitch / half_wave) +
                           " of the shortest half-wave asked "
                           "for; the averaged model is meant for a quarter or less, its upper modes are unreliable"});
    if (laid.holes.size() < 16)
        out.push_back({"few-holes", "only " + std::to_string(laid.holes.size()) +
                                        " holes: averaging over the lattice is a "
                                        "rough picture of so few"});
    if (!device.holes->omit.empty())
        out.push_back({"omitted-sites",
                       "omitted lattice sites are averaged into the film round them; a mode bound to such "
                       "a defect is not seen by the averaged model"});
    const Released* released = std::get_if<Released>(&device.outline);
    if (film.edge_layer_m > (released != nullptr ? released->undercut.si() : device.holes->margin.si()))
        out.push_back(
            {"layer-in-field",
             "the clamped-edge bending layer (" + engineering(1e6 * film.edge_layer_m, "um") +
                 ") is wider than the solid margin; holes inside it change the edge loss by an amount that is not "
                 "computed"});
    if (device.holes->shape != HoleShape::circle)
        out.push_back({"sharp-corners",
                       "stress at a sharp hole corner has no finite value; the peak given is that near the "
                       "corner at the cell grid's resolution, real corners are rounded"});
}

}  // namespace

Warnings validity_warnings(const Device& device, const FilmOnOutline& laid, const ModeSet& set,
                           const EffectiveFilm& film) {
    Warnings out;
    warn_compression(set, out);
    warn_fracture(device, film, out);
    warn_theory(device, set, film, out);
    warn_averaging(device, laid, set, film, out);
    const Warnings wet = release_warnings(device);
    out.insert(out.end(), wet.begin(), wet.end());
    return out;
}

Warnings layer_warnings(const Film& film) {
    Warnings out;
    if (film.layers.empty()) return out;
    constexpr double lossy = 1e4;  // nitride's own quality is a few thousand at 50 nm, its volume's 28 000
    out.push_back({"layers", "figures of the film are those of the uniform film of " +
                                 engineering(1e9 * film.thickness.si(), "nm") +
                                 " that pulls, weighs, stretches and bends like all layers together; stress and "
                                 "strength of single layers are not told apart"});
    for (const FilmLayer& layer : film.layers) {
        const auto& quality = layer.properties.quality_volume;
        if (!quality || quality->si() > lossy) continue;
        out.push_back({"layer-at-rim",
                       layer.material +
                           " covers the clamped rim, where the film bends most, and its own quality is of "
                           "the order of " +
                           engineering(quality->si(), "") +
                           "(an order of magnitude): a layer kept off the rim costs far less Q (Yu, Purdy and Regal, "
                           "Phys. Rev. Lett. 108, 083603 (2012), abstract)"});
    }
    return out;
}

Warnings patch_warnings(const Device& device, const EffectiveFilm& film) {
    Warnings out;
    if (device.patches.empty()) return out;
    out.push_back({"patches",
                   "layers over part of the film enter tension, mass, bending and loss; light, heat and thermal "
                   "expansion see the film without them, and what their moment bends the film near their edge is left "
                   "out"});
    const Boundary rim = boundary(device.outline);
    for (const FilmPatch& patch : device.patches) {
        double nearest = signed_distance(rim, patch.area.front());
        for (const Point p : patch.area) nearest = std::min(nearest, signed_distance(rim, p));
        if (nearest > 5.0 * film.edge_layer_m) continue;
        out.push_back({"layer-at-rim",
                       patch.layers.front().material +
                           " reaches the clamped layer at the rim, where the film bends most: that layer is taken as "
                           "the bare film's, so the Q given is too high; a layer kept off the rim costs far less Q "
                           "(Yu, Purdy and Regal, Phys. Rev. Lett. 108, 083603 (2012), abstract)"});
    }
    return out;
}

}  // namespace tymbal

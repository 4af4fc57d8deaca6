#include "chance_to_reflect.h"

#include "tymbal/base/constants.h"
#include "tymbal/light/near_film.h"
#include "tymbal/readout/refractive_index.h"

#include "../base/halton.h"

#include <array>
#include <cmath>

namespace tymbal {

namespace {

/// Two independent normal deviates of two even ones (Box and Muller 1958, from memory).
std::array<double, 2> normal_pair(double first, double second) {
    const double radius = std::sqrt(-2.0 * std::log(first)), turn = 2.0 * constants::pi * second;
    return {radius * std::cos(turn), radius * std::sin(turn)};
}

/// One film of the many, from deviations of thickness, index, pitch and size.
FilmMove drawn(const FilmMove& deviation, std::size_t k) {
    const std::array<double, 2> a = normal_pair(halton(k, 2), halton(k, 3));
    const std::array<double, 2> b = normal_pair(halton(k, 5), halton(k, 7));
    return {deviation.thickness_m * a[0], deviation.index * a[1], deviation.pitch_m * b[0], deviation.size_m * b[1]};
}

FilmMove deviations(const Device& device, double wavelength_m) {
    FilmMove out{device.film.thickness.deviation_si(), index_at(device.film.index, wavelength_m).deviation};
    if (!device.holes) return out;
    out.pitch_m = device.holes->pitch.deviation_si();
    out.size_m = device.holes->size.deviation_si();
    return out;
}

}  // namespace

std::optional<double> chance_to_reflect(const Device& device, double wavelength_m, double least,
                                        const LatticeSolver& solve, int samples) {
    const FilmMove by = deviations(device, wavelength_m);
    if (by.thickness_m == 0.0 && by.index == 0.0 && by.pitch_m == 0.0 && by.size_m == 0.0) return std::nullopt;
    const bool lattice = seen_as(device, wavelength_m) == SeenAs::lattice;
    if (solid_layers(device.film, wavelength_m).empty()) return std::nullopt;
    const LatticeSolver near = lattice ? solver_near(lattice_light(device, wavelength_m), solve) : solve;
    int good = 0;
    for (int k = 1; k <= samples; ++k) {
        const auto film = see_film(device, wavelength_m, near, drawn(by, static_cast<std::size_t>(k)));
        good += film->seen.reflectivity >= least ? 1 : 0;
    }
    return static_cast<double>(good) / samples;
}

}  // namespace tymbal

#include "film_in_cavity.h"

#include "tymbal/base/constants.h"
#include "tymbal/task/seen_film.h"

namespace tymbal {

namespace {

/// Slopes left out.
FilmAmplitudes amplitudes_of(const FieldResponse& film, double thickness_m) {
    return {film.front, film.back, film.through, 0.0, 0.0, 0.0, thickness_m};
}

double thickness_of(const Device& device, double wavelength_m) {
    double sum = 0.0;
    for (const OpticalLayer& layer : solid_layers(device.film, wavelength_m)) sum += layer.thickness_m;
    return sum;
}

}  // namespace

std::optional<FilmAmplitudes> film_amplitudes(const Device& device, double wavelength_m, const LatticeSolver& light) {
    // Central difference, dispersion of the index included. Of the slope, 1e-10 is left out for a film that is far
    // thinner than a coherence length, 4 % on a line as narrow as 1e-4 of the wavelength.
    constexpr double step = 1e-5;
    const double thickness = thickness_of(device, wavelength_m);
    if (thickness == 0.0) return std::nullopt;
    const auto at = [&](double wavelength) {
        return amplitudes_of(see_film(device, wavelength, light)->seen.along, thickness);
    };
    const double omega = 2.0 * constants::pi * constants::light_speed_m_per_s / wavelength_m;
    const FilmAmplitudes above = at(wavelength_m / (1.0 + step)), below = at(wavelength_m / (1.0 - step));
    FilmAmplitudes film = at(wavelength_m);
    film.front_slope = (above.reflected_front - below.reflected_front) / (2.0 * step * omega);
    film.back_slope = (above.reflected_back - below.reflected_back) / (2.0 * step * omega);
    film.transmitted_slope = (above.transmitted - below.transmitted) / (2.0 * step * omega);
    return film;
}

CavityOptics cavity_optics(const Device& device, const FilmAmplitudes& film) {
    const Cavity& cavity = *device.cavity;
    const double half_film = cavity.film_is_end ? 0.0 : 0.5 * film.thickness_m;
    const double input_arm = cavity.film_from_input.si() - half_film;
    const CavityMirror input{cavity.input_transmission, cavity.film_is_end ? cavity.loss : 0.5 * cavity.loss};
    const CavityMirror end{cavity.end_transmission, 0.5 * cavity.loss};
    const double end_arm = cavity.length.si() - cavity.film_from_input.si() - half_film;
    return {
        device.readout->wavelength.si(), input_arm, cavity.film_is_end ? 0.0 : end_arm, input, end, cavity.film_is_end};
}

}  // namespace tymbal

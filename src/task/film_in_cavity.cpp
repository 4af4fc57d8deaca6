#include "film_in_cavity.h"

#include "tymbal/base/constants.h"
#include "tymbal/light/stack.h"
#include "tymbal/task/solved.h"

namespace tymbal {

namespace {

/// Amplitudes at one wavelength, slopes left out.
FilmAmplitudes amplitudes_of(const std::vector<OpticalLayer>& layers, double wavelength_m) {
    const StackResponse front = respond({1.0, layers, 1.0}, wavelength_m);
    const StackResponse back = respond({1.0, {layers.rbegin(), layers.rend()}, 1.0}, wavelength_m);
    double thickness = 0.0;
    for (const OpticalLayer& layer : layers) thickness += layer.thickness_m;
    return {front.r, back.r, front.t, 0.0, 0.0, 0.0, thickness};
}

}  // namespace

std::optional<FilmAmplitudes> film_amplitudes(const Device& device, const FilmOnOutline& laid, double wavelength_m) {
    // Central difference, dispersion of the index included. Layers are far thinner than a coherence length: a step of
    // 1e-4 of the frequency leaves 1e-8 of the slope.
    constexpr double step = 1e-4;
    if (optical_film(device, laid, wavelength_m).empty()) return std::nullopt;
    const auto at = [&](double wavelength) {
        return amplitudes_of(optical_film(device, laid, wavelength), wavelength);
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

// The design's film between the design's mirrors. Where the film's amplitudes come from is known here alone.
#pragma once

#include "tymbal/cavity/resonance.h"
#include "tymbal/task/effective_film.h"

#include <optional>

namespace tymbal {

/// Points along half a wavelength at which tables and pictures show the cavity.
inline constexpr int cavity_points = 201;

/// The film as plane layers with the averaged index of its holes. @param wavelength_m  > 0
/// @return empty when a layer's material row has no refractive index
[[nodiscard]] std::optional<FilmAmplitudes> film_amplitudes(const Device& device, const FilmOnOutline& laid,
                                                            double wavelength_m);

/// @param design  with [cavity] and [readout]
[[nodiscard]] CavityOptics cavity_optics(const Device& device, const FilmAmplitudes& film);

}  // namespace tymbal

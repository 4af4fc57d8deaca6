// The design's film between the design's mirrors. Where the film's amplitudes come from is known here alone.
#pragma once

#include "tymbal/cavity/resonance.h"
#include "tymbal/task/predict.h"

#include <optional>

namespace tymbal {

/// Points along half a wavelength at which tables and pictures show the cavity.
inline constexpr int cavity_points = 201;

/// As task/seen_film.h sees it, electric field along the first lattice direction. @param wavelength_m  > 0
/// @return empty when a layer's material row has no refractive index
[[nodiscard]] std::optional<FilmAmplitudes> film_amplitudes(const Device& device, double wavelength_m,
                                                            const LatticeSolver& light = see_lattice);

/// @param design  with [cavity] and [readout]
[[nodiscard]] CavityOptics cavity_optics(const Device& device, const FilmAmplitudes& film);

}  // namespace tymbal

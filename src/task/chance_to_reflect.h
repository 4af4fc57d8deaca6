// The chance that the film reflects as much as is asked of it, by stated deviations.
#pragma once

#include "tymbal/task/seen_film.h"

namespace tymbal {

/// Share of films, drawn from the deviations of film thickness, hole size, pitch and index, that reflect at least so
/// much at this wavelength. Sampled through the line's shape: on a flank no R +- dR says it. Halton's sequence, the
/// same for all designs, so that designs compare.
/// @return empty when none of these has a deviation, or a layer's row has no index
[[nodiscard]] std::optional<double> chance_to_reflect(const Device& device, double wavelength_m, double least,
                                                      const LatticeSolver& solve = see_lattice, int samples = 64);

}  // namespace tymbal

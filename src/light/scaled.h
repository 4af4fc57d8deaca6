// A lattice and its film in units of the pitch, as the Fourier solver takes them.
#pragma once

#include "scattering.h"

#include "tymbal/light/hole_lattice.h"

namespace tymbal::fourier {

/// Pitch 1. @throws NoAnswer for touching holes and for lists of holes
[[nodiscard]] Cell scaled_cell(const HoleLattice& holes);

[[nodiscard]] Layers scaled_layers(const LatticeFilm& film, double pitch_m);

/// The truncation reaches as far beyond the orders that run away as it does beyond the zero order of a fine lattice.
/// @throws NoAnswer  a pitch of more than eight wavelengths, for which that would take minutes
[[nodiscard]] Truncation beyond_running(Truncation truncation, double pitch_in_wavelengths);

[[nodiscard]] Parity parity_of(LightField field);
[[nodiscard]] FieldAlong field_along(LightField field);

/// value + weight (value - coarser one) is what both tend to, with an error that falls as one over the orders kept.
[[nodiscard]] double step_to_limit(const CellMatrices& coarse, const CellMatrices& fine);

constexpr double doubt = 1.5;  ///< error over the step from the finer truncation to the limit

}  // namespace tymbal::fourier

// A lattice and its film in units of the pitch, as the Fourier solver takes them.
#pragma once

#include "scattering.h"

#include "tymbal/light/hole_lattice.h"

namespace tymbal::fourier {

/// Pitch 1. @throws NoAnswer for touching holes and for lists of holes
[[nodiscard]] Cell scaled_cell(const HoleLattice& holes);

[[nodiscard]] Layers scaled_layers(const LayeredFilm& film, double pitch_m);

/// The truncation reaches as far beyond the orders that run away as it does beyond the zero order of a fine lattice.
/// @throws NoAnswer  a pitch of more than eight wavelengths, for which that would take minutes
[[nodiscard]] Truncation beyond_running(Truncation truncation, double pitch_in_wavelengths);

[[nodiscard]] Parity parity_of(LightField field);
[[nodiscard]] FieldAlong field_along(LightField field);

/// value + weight (value - coarser one) is what both tend to, with an error that falls as one over the orders kept.
[[nodiscard]] double step_to_limit(const CellMatrices& coarse, const CellMatrices& fine);

constexpr double doubt = 1.5;  ///< error over the step from the finer truncation to the limit

/// Zero order at one truncation.
struct ZeroOrder {
    Complex r, t;
    double reflectivity = 0.0, transmission = 0.0;
};

/// What amplitudes and powers of two truncations tend to, without light made: of a film that is alike from both sides
/// and lies free, r + t and r - t (the answers to light from both sides, in phase and against it) go on turning and
/// fading as they do from one truncation to the next, and stay passive; amplitudes of any other are those of the finer.
[[nodiscard]] ZeroOrder limit_of(const ZeroOrder& coarse, const ZeroOrder& fine, double step, bool symmetric);

/// Error of both powers at the limit. Their own step can be small by chance, so the amplitudes r + t and r - t of light
/// from both sides are asked too: of a clear film both have modulus 1, and phases wrong by a and b make the
/// reflectivity wrong by sqrt(R T) (a - b) in the first order, which vanishes on a line's peak.
[[nodiscard]] double truncation_error(const ZeroOrder& coarse, const ZeroOrder& fine, double step);

}  // namespace tymbal::fourier

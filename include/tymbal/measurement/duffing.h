// How a mode stiffens at large amplitude: the cubic term of its restoring force from the film's own stretching.
#pragma once

#include "tymbal/modes/find_modes.h"

#include <vector>

namespace tymbal {

/// m x'' + k1 x + k3 x^3, x the displacement at the antinode.
struct Duffing {
    double linear = 0.0;  ///< k1, N/m
    double cubic = 0.0;   ///< k3, N/m^3
    double error = 0.0;   ///< relative, of k3: from the grid
};

/// Cubic coefficients of all modes of a set. A deflection w stretches the film by (w_x^2, w_y^2, 2 w_x w_y)/2; the
/// in-plane displacement that balances the added tension is solved on the same arms, and
/// k3 = 2 int strain : C : (strain + strain(u)) dA. This is not the uniform-tension shortcut, which reads 16 % high on
/// the square. Solved on the coarsest grid; slopes enter to the fourth power, so k3 is scaled by the square of the
/// frequency's own grid error. Films with ModeSet::cut_film: on their last two grids, of which the error comes.
/// @throws NoAnswer when the in-plane matrix cannot be factored
[[nodiscard]] std::vector<Duffing> duffing(const ModeSet& set);

/// k3 of one shape on a grid, without correction. @param stiffness  tension per strain, one per cell
[[nodiscard]] double cubic_stiffness(const InPlane& solver, const Grid& grid, const CellStiffness& stiffness,
                                     const Vector& shape);

/// Amplitude at which the line of a mode has moved up by half its full width at half maximum of power:
/// (3/8) (k3/k1) a^2 = 1/(2 Q), the first order of the backbone curve (Landau and Lifshitz, Mechanics, section 28, from
/// memory, re-derived).
[[nodiscard]] double half_width_amplitude_m(const Duffing& duffing, double quality);

}  // namespace tymbal

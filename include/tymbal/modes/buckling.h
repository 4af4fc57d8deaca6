// The compressive stress at which a flat film buckles.
#pragma once

#include "tymbal/modes/find_modes.h"

namespace tymbal {

struct CriticalStress {
    double pascal = 0.0;   ///< below zero for compressed films
    double error = 0.0;    ///< of the grids, Pa, above zero
    double on_grid = 0.0;  ///< at which the coarser grid takes it for buckled, Pa
};

/// Deposited stress at which the first shape of the flat film has no stiffness left, all else kept: the tension left
/// after relaxation is in proportion to it, so that the stiffness is K(t) = bending + t * pull(problem.film.stress),
/// and t is where its first pivot turns negative (Sylvester's law of inertia), found by bisection on two grids and
/// extrapolated to second order.
/// @param problem  with film.stress < 0
/// @param cells_x, cells_y  across the outline's box on the coarser grid, even
[[nodiscard]] CriticalStress critical_stress(const ModeProblem& problem, int cells_x, int cells_y);

/// Deposited stress at which a film that find_modes has refused as unstable would just be stable, all else kept: above
/// zero where its own release compresses parts of a film in tension.
/// @throws NoAnswer for films that are stable as they are
[[nodiscard]] CriticalStress buckling_stress(const ModeProblem& problem);

}  // namespace tymbal

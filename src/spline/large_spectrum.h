// One grid of a film that is too large for factors: stress, lowest modes and sag by multigrid.
#pragma once

#include "solved_grid.h"

#include "tymbal/grid/solve_effort.h"

namespace tymbal::spline {

/// Is a grid of this spacing solved by multigrid? Factors take over where modes inside the spectrum are asked for.
[[nodiscard]] bool is_large(const FilmProblem& problem, const Region& region, double spacing);

/// The lowest modes; of the plate's matrices only the bending. All modes are there: on a coarser grid the signs of the
/// pivots were counted. @throws NoAnswer when the grid has more unknowns than the problem allows
[[nodiscard]] Spectrum large_spectrum(const FilmProblem& problem, const Region& region, double spacing,
                                      const SolveEffort& effort);

}  // namespace tymbal::spline

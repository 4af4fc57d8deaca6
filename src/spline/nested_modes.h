// The lowest modes on a fine grid: those of the coarser grid, carried over and improved as a block.
//
//   X <- lowest Ritz vectors of span{X, C (K X - M X Lambda)},   C a multigrid cycle
//
// The coarser grid's functions are fine ones, so its modes are Ritz vectors on the fine grid already, right to the
// fourth power of the spacing; a few steps on each grid are left. On a grid that is small enough the modes come from
// factors, and the signs of the pivots tell that none is missing. Source: Knyazev and Neymeyr, Electron. Trans. Numer.
// Anal. 15, 38 (2003) (from memory).
#pragma once

#include "levels.h"
#include "modes.h"
#include "multigrid.h"

#include "tymbal/grid/solve_effort.h"

#include <vector>

namespace tymbal::spline {

/// Stiffness and mass of each level, finest first.
struct LevelMatrices {
    std::vector<Rows> stiffness, mass;
};

[[nodiscard]] LevelMatrices level_matrices(const Levels& levels, Rows stiffness, Rows mass, unsigned threads);

/// What is asked of the modes: how many have to settle, and how many are given. What lies beyond the former is right to
/// some digits less.
struct ModeCounts {
    int settled = 0, given = 0;
    /// Relative change of the settled values by the last step. What is left is a fifth of it: grids are 1e-4 apart.
    double change = 2e-6;
    int largest_start = 12'000;  ///< unknowns of the grid whose modes come from factors
};

struct NestedModes {
    Eigenpairs pairs;  ///< `below` is a lower bound where the flat film is not stable
    int steps = 0;     ///< on the finest grid
};

/// The lowest modes. @param inverse  of the stiffness, on all levels  @throws NoAnswer when the iteration does not
/// settle, or a mode is missing
[[nodiscard]] NestedModes nested_modes(const Levels& levels, const LevelMatrices& matrices, const Multigrid& inverse,
                                       const ModeCounts& counts, const SolveEffort& effort);

}  // namespace tymbal::spline

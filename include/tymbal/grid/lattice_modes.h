// Lowest modes of a film on a fine lattice: a block eigensolver with a multigrid cycle, for problems too large to
// factor.
#pragma once

#include "tymbal/grid/solve_effort.h"
#include "tymbal/grid/stencil.h"

#include <cstddef>
#include <vector>

namespace tymbal {

/// Unknowns up to which lowest_eigenpairs is the faster way. Measured for 20 modes of a square with 3 x 3 to 16 x 16
/// holes on a shared machine of two cores, processor time of shift-invert on a sparse factor over that of
/// lattice_modes: 1.2 at 21 000 unknowns, 4.1 at 97 000 (tests/bench/bench_resolved).
constexpr std::size_t largest_direct = 20000;

/// Is a factor the faster way on this grid? Its cost goes with the nodes times the square of how many lie across the
/// longer side of the grid: largest_direct is where squares change over, long narrow films do so much later. On those
/// the coarser lattices of lattice_modes would lose the film.
[[nodiscard]] bool factors_well(const Grid& grid);

struct LatticeModeOptions {
    int count = 6;             ///< modes wanted, 1 to 200
    double residual = 1e-4;    ///< |K w - lambda M w| / (lambda |M w|) that each has to reach
    int largest_steps = 40;    ///< on one level
    std::size_t start = 6000;  ///< unknowns up to which a level is solved directly
};

/// How one level of the nested iteration went, coarsest first.
struct LevelReport {
    std::size_t unknowns = 0;
    int steps = 0;  ///< block steps, 0: solved directly
    double residual = 0.0;
};

struct LatticeModes {
    Vector values;           ///< rising
    int lanes = 0;           ///< vectors held, some more than were wanted
    Buffer<double> vectors;  ///< of node at(i, j), mode k: at(i, j) * lanes + k; w' M w = 1; zero without film
    double worst_residual = 0.0;
    std::vector<LevelReport> levels;
    std::size_t bytes = 0;  ///< largest that the solver held at a time, the film's matrices included
};

/// Lowest eigenpairs of K w = lambda M w.
///
/// Locally optimal block preconditioned conjugate gradients (A. V. Knyazev, SIAM J. Sci. Comput. 23, 517 (2001); from
/// memory) with a symmetric V-cycle as preconditioner, started on each level from the modes of the next coarser one;
/// the coarsest is solved directly, with its count of values checked by inertia.
/// @throws NoAnswer when K is not positive definite, the iteration stagnates, a mode was missed, or it was stopped
[[nodiscard]] LatticeModes lattice_modes(const LatticeFilm& film, const LatticeModeOptions& options,
                                         const SolveEffort& effort = {});

/// Bytes that lattice_modes will hold at its peak, matrices and result included; within a few percent.
[[nodiscard]] std::size_t lattice_modes_bytes(int columns, int rows, int count);

}  // namespace tymbal

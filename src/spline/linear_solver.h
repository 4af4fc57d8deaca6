// One matrix, many loads: by its factor where that is small, else by conjugate gradients with multigrid.
#pragma once

#include "levels.h"

#include "tymbal/grid/solve_effort.h"

#include <memory>

namespace tymbal::spline {

/// Unknowns up to which factors are faster (tests/bench, bench_spline).
constexpr double largest_factor = 20'000;

class LinearSolver {
public:
    /// @param matrix  symmetric
    LinearSolver(const Cells& cells, const Space& space, Rows matrix, const SolveEffort& effort = {});
    /// By multigrid. @param levels  of the film's grid
    LinearSolver(std::shared_ptr<const Levels> levels, Rows matrix, const SolveEffort& effort);
    LinearSolver(LinearSolver&&) noexcept;
    ~LinearSolver();
    /// Eigenvalues of the matrix below zero; by multigrid those that the coarsest grid sees.
    [[nodiscard]] int negative() const;
    /// @throws NoAnswer when the iteration does not settle
    [[nodiscard]] Vector solve(const Vector& load) const;

private:
    struct Inverse;
    std::unique_ptr<const Inverse> inverse_;
};

}  // namespace tymbal::spline

#include "linear_solver.h"

#include "conjugate.h"
#include "multigrid.h"

#include <optional>
#include <utility>
#include <vector>

namespace tymbal::spline {

namespace {

constexpr double tolerance = 1e-7;

/// Unknowns of the coarsest grid, which is factored. Displacements in the plane are carried badly by grids that see
/// less than half a cell in a bridge (.7 to .85 a cycle instead of .2 to .5); a larger factor costs little there, for
/// it is used on one vector at a time.
int coarsest_of(int fields) {
    return fields == 1 ? 3'000 : 15'000;
}

/// The matrix on every level down to the coarsest that is worth its factor.
std::vector<Rows> carried(const Levels& levels, Rows matrix, unsigned threads) {
    std::vector<Rows> all;
    const int smallest = coarsest_of(matrix.fields);
    all.push_back(std::move(matrix));
    for (std::size_t k = 1; k < levels.size() && levels[k - 1].space.size > smallest; ++k)
        all.push_back(galerkin(all.back(), levels[k], threads));
    return all;
}

std::vector<const Rows*> pointers(const std::vector<Rows>& matrices) {
    std::vector<const Rows*> out;
    for (const Rows& m : matrices) out.push_back(&m);
    return out;
}

/// What the cycles refer to stays beside them.
struct Cycles {
    std::shared_ptr<const Levels> levels;
    std::vector<Rows> matrices;
    Multigrid inverse;
    SolveEffort effort;

    Cycles(std::shared_ptr<const Levels> of, Rows matrix, const SolveEffort& how)
        : levels(std::move(of)),
          matrices(carried(*levels, std::move(matrix), how.cores())),
          inverse(*levels, pointers(matrices), how.cores()),
          effort(how) {}
};

}  // namespace

struct LinearSolver::Inverse {
    std::optional<Factor> factor;
    std::optional<Cycles> cycles;
};

LinearSolver::LinearSolver(const Cells& cells, const Space& space, Rows matrix, const SolveEffort& effort) {
    auto inverse = std::make_unique<Inverse>();
    if (space.size <= largest_factor) {
        inverse->factor.emplace(matrix.lower(), space, matrix.fields);
    } else {
        auto levels =
            std::make_shared<const Levels>(make_levels(cells, space, matrix.pattern, coarsest_of(matrix.fields)));
        inverse->cycles.emplace(std::move(levels), std::move(matrix), effort);
    }
    inverse_ = std::move(inverse);
}

LinearSolver::LinearSolver(std::shared_ptr<const Levels> levels, Rows matrix, const SolveEffort& effort) {
    auto inverse = std::make_unique<Inverse>();
    inverse->cycles.emplace(std::move(levels), std::move(matrix), effort);
    inverse_ = std::move(inverse);
}

LinearSolver::LinearSolver(LinearSolver&&) noexcept = default;
LinearSolver::~LinearSolver() = default;

int LinearSolver::negative() const {
    return inverse_->factor ? inverse_->factor->negative() : inverse_->cycles->inverse.negative();
}

Vector LinearSolver::solve(const Vector& load) const {
    if (inverse_->factor) return inverse_->factor->solve(load);
    const Cycles& c = *inverse_->cycles;
    Solution found = conjugate_gradients(c.matrices.front(), c.inverse, load, tolerance, c.effort);
    if (c.effort.progress && c.matrices.front().fields == 2)
        c.effort.progress({SolveStage::stress, static_cast<std::size_t>(load.size()) / 2, found.steps, found.residual});
    return std::move(found.x);
}

}  // namespace tymbal::spline

#include "nested_modes.h"

#include "mode_block.h"
#include "multigrid.h"

#include "../grid/block.h"
#include "../grid/small_problem.h"

#include "tymbal/base/error.h"

#include <Eigen/Cholesky>
#include <Eigen/Eigenvalues>

#include <algorithm>
#include <cmath>
#include <string>
#include <utility>

namespace tymbal::spline {

namespace {

using RowMajor = Eigen::Matrix<double, Eigen::Dynamic, Eigen::Dynamic, Eigen::RowMajor>;
constexpr double coarse_change = 1e-4;  ///< of a step on coarser grids, after which none is needed there
constexpr int most_steps = 40;

/// Vectors carried along: some more than wanted, so that the last wanted one converges as the first.
int carried(const ModeCounts& counts) {
    constexpr int more = 4;
    return whole_lanes(std::max(counts.given, counts.settled + more));
}

/// Modes on one level, and one step after the other.
class LevelModes {
public:
    /// @param x  Ritz vectors of the level, v' M v = 1  @param values  theirs
    LevelModes(const Rows& stiffness, const Rows& mass, Block<double> x, Vector values, unsigned threads)
        : stiffness_(stiffness),
          mass_(mass),
          x_(std::move(x)),
          residual_(rows(), x_.lanes),
          w_(rows(), x_.lanes),
          threads_(threads),
          values_(std::move(values)),
          products_(mode_products(stiffness_, mass_, x_, values_, residual_, threads_)) {}
    [[nodiscard]] const Vector& values() const { return values_; }
    [[nodiscard]] int unstable() const { return static_cast<int>((values_.array() < 0.0).count()); }
    [[nodiscard]] std::size_t unknowns() const { return rows(); }
    Block<double> take() { return std::move(x_); }

    /// One block step. @returns the largest relative change of the first `count` values
    double step(const Multigrid& inverse, Multigrid::Work& work, int count) {
        inverse.cycle(residual_.number.data(), work, w_.number.data());
        const DirectionProducts d = direction_products(stiffness_, mass_, x_, residual_, w_, threads_);
        if (take_unstable(d)) return 1.0;
        const RitzPairs found = ritz_pairs(small_problem(d), x_.lanes);
        combine(found.combinations.topRows(x_.lanes), found.combinations.bottomRows(x_.lanes), w_, x_, threads_);
        const double change = (1.0 - found.values.array() / values_.array()).head(count).abs().maxCoeff();
        values_ = found.values;
        products_ = mode_products(stiffness_, mass_, x_, values_, residual_, threads_);
        return change;
    }

private:
    [[nodiscard]] std::size_t rows() const { return static_cast<std::size_t>(stiffness_.pattern->rows()); }

    /// A direction without stiffness, if there is one, becomes the first mode.
    bool take_unstable(const DirectionProducts& d) {
        const Vector quotients = d.stiffness.diagonal().cwiseQuotient(d.mass.diagonal());
        Eigen::Index at = 0;
        if (!(quotients.minCoeff(&at) < 0.0)) return false;
        Eigen::MatrixXd keep = Eigen::MatrixXd::Identity(x_.lanes, x_.lanes),
                        take = Eigen::MatrixXd::Zero(x_.lanes, x_.lanes);
        keep(0, 0) = 0.0;
        take(at, 0) = 1.0 / std::sqrt(d.mass(at, at));
        combine(keep, take, w_, x_, threads_);
        values_[0] = quotients[at];
        return true;
    }

    /// Of a mode x and a direction w, x' K w = value x' M w + r' w with the residual r: the sum itself would lose r' w
    /// to rounding.
    [[nodiscard]] SmallProblem small_problem(const DirectionProducts& d) const {
        const Eigen::Index m = x_.lanes;
        SmallProblem out{Eigen::MatrixXd(2 * m, 2 * m), Eigen::MatrixXd(2 * m, 2 * m)};
        out.mass.topLeftCorner(m, m) = products_.mass;
        out.stiffness.topLeftCorner(m, m) = products_.stiffness;
        out.mass.bottomLeftCorner(m, m) = d.modes_mass;
        out.stiffness.bottomLeftCorner(m, m) = d.modes_mass * values_.asDiagonal() + d.residual;
        out.mass.bottomRightCorner(m, m) = d.mass;
        out.stiffness.bottomRightCorner(m, m) = d.stiffness;
        for (Eigen::MatrixXd* const g : {&out.mass, &out.stiffness})
            *g = Eigen::MatrixXd(g->selfadjointView<Eigen::Lower>());
        return out;
    }

    const Rows &stiffness_, &mass_;
    Block<double> x_;
    Block<float> residual_, w_;
    unsigned threads_;
    Vector values_;
    ModeProducts products_;
};

std::size_t start_level(const Levels& levels, int lanes, int largest) {
    std::size_t level = 0;
    while (level + 1 < levels.size() && levels[level].space.size > largest && levels[level + 1].space.size > 8 * lanes)
        ++level;
    return level;
}

Block<double> row_major(const Eigen::MatrixXd& vectors) {
    Block<double> out(static_cast<std::size_t>(vectors.rows()), static_cast<int>(vectors.cols()));
    Eigen::Map<RowMajor>(out.number.data(), vectors.rows(), vectors.cols()) = vectors;
    return out;
}

/// No mode may be missing among the first ones: the signs of the pivots count those below the widest late gap.
void require_all(const Plate& plate, const Space& space, const Vector& values, int count) {
    const Eigen::Index last = values.size() - 2;
    Eigen::Index k = std::min<Eigen::Index>(count - 1, last);
    for (Eigen::Index n = k; n <= last; ++n)
        if (values[n + 1] / values[n] > values[k + 1] / values[k]) k = n;
    const double between = 0.5 * (values[k] + values[k + 1]);
    const int below = Factor(plate.stiffness - between * plate.mass, space, 1).negative();
    if (below != k + 1)
        throw NoAnswer("the solution of the modes lost one: " + std::to_string(below) +
                       " lie below the place of number " + std::to_string(k + 2) + "; ask for another number of modes");
}

struct Goal {
    int count = 0;
    double change = 0.0;
};

/// Steps on one level until the wanted values stay where they are, or a shape has no stiffness. @returns their number
int settle(LevelModes& modes, const Multigrid& inverse, Multigrid::Work& work, const Goal& goal,
           const SolveEffort& effort) {
    for (int step = 1; step <= most_steps; ++step) {
        effort.keep_going();
        const double change = modes.step(inverse, work, goal.count);
        if (effort.progress) effort.progress({SolveStage::modes, modes.unknowns(), step, change});
        if (change < goal.change || modes.unstable() > 0) return step;
    }
    throw NoAnswer("the modes do not settle; ask for fewer modes or another accuracy");
}

}  // namespace

LevelMatrices level_matrices(const Levels& levels, Rows stiffness, Rows mass, unsigned threads) {
    LevelMatrices out;
    out.stiffness.push_back(std::move(stiffness));
    out.mass.push_back(std::move(mass));
    for (std::size_t k = 1; k < levels.size(); ++k) {
        out.stiffness.push_back(galerkin(out.stiffness.back(), levels[k], threads));
        out.mass.push_back(galerkin(out.mass.back(), levels[k], threads));
    }
    return out;
}

NestedModes nested_modes(const Levels& levels, const LevelMatrices& matrices, const Multigrid& inverse,
                         const ModeCounts& counts, const SolveEffort& effort) {
    const unsigned threads = effort.cores();
    const int lanes = carried(counts);
    std::size_t level = start_level(levels, lanes, counts.largest_start);
    const Plate start{matrices.stiffness[level].lower(), {}, matrices.mass[level].lower()};
    NestedModes out;
    out.pairs = nearest_modes(start, levels[level].space, lanes, 0.0);
    if (out.pairs.below == 0) require_all(start, levels[level].space, out.pairs.values, counts.settled);
    Block<double> x = row_major(out.pairs.vectors);
    while (level > 0) {
        const Prolongation& up = levels[level].to_finer;
        --level;
        Block<double> finer(up.rows.size(), lanes);
        prolong(up, x.number.data(), lanes, finer.number.data(), threads);
        x = std::move(finer);
        if (out.pairs.below > 0) continue;
        LevelModes modes(matrices.stiffness[level], matrices.mass[level], std::move(x), out.pairs.values, threads);
        Multigrid::Work work(inverse, lanes, level);
        out.steps = settle(modes, inverse, work, {counts.settled, level == 0 ? counts.change : coarse_change}, effort);
        out.pairs.below = modes.unstable();
        out.pairs.values = modes.values();
        x = modes.take();
    }
    out.pairs.values.conservativeResize(counts.given);
    out.pairs.vectors = Eigen::Map<const RowMajor>(x.number.data(), levels[0].space.size, lanes).leftCols(counts.given);
    return out;
}

}  // namespace tymbal::spline

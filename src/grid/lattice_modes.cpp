#include "tymbal/grid/lattice_modes.h"

#include "block_cycle.h"
#include "block_products.h"
#include "small_problem.h"

#include "tymbal/base/error.h"
#include "tymbal/grid/eigenpairs.h"

#include <algorithm>
#include <string>
#include <utility>

namespace tymbal {

namespace {

constexpr std::size_t largest_checked = 20000;  ///< unknowns of the largest level whose modes are counted by inertia

/// Vectors carried along: the wanted ones and some more, so that the last wanted one converges as well as the first.
int carried(int count) {
    return whole_lanes(count + std::max(2, count / 5));
}

/// Modes and search directions on one level of the ladder, and one step after the other.
class LevelSolver {
public:
    LevelSolver(const Ladder& ladder, std::size_t level, Block<double>&& x, unsigned threads)
        : film_(ladder.level(level)),
          cycle_(ladder, level, x.lanes(), threads),
          x_(std::move(x)),
          residual_(columns(), rows(), x_.lanes()),
          w_(columns(), rows(), x_.lanes()),
          p_(columns(), rows(), x_.lanes()),
          active_(all_packs(x_.lanes())),
          threads_(threads),
          earlier_mass_(0, x_.lanes()) {
        p_.narrow(0);
        const Vector any = Vector::Ones(x_.lanes());
        Block<float> none(columns(), rows(), 0);
        products_ = mode_products(film_, x_, any, none, threads_);
        rotate_to_modes();
        products_ = mode_products(film_, x_, values_, residual_, threads_);
    }

    [[nodiscard]] std::size_t bytes() const {
        return cycle_.bytes() + x_.bytes() + residual_.bytes() + w_.bytes() + p_.bytes();
    }
    [[nodiscard]] double worst(int count) const { return products_.residual.head(count).maxCoeff(); }
    [[nodiscard]] const Vector& values() const { return values_; }

    /// One block step. @param count  wanted  @param limit  residual below which a mode is left alone
    void step(int count, double limit) {
        active_ = unconverged(count, limit);
        w_.narrow(lane * static_cast<int>(active_.size()));
        cycle_.solve(residual_, active_, w_);
        const SmallProblem small = small_problem();
        const RitzPairs found = ritz_pairs(small, x_.lanes());
        values_ = found.values;
        update(small, found.combinations);
        products_ = mode_products(film_, x_, values_, residual_, threads_);
    }

    /// The modes, made exact in their span; what remains of the object is of no use.
    Block<double> take() {
        for (Block<float>* const block : {&residual_, &w_, &p_}) *block = Block<float>();
        rotate_to_modes();
        return std::move(x_);
    }

private:
    [[nodiscard]] int columns() const { return film_.stiffness.columns; }
    [[nodiscard]] int rows() const { return film_.stiffness.rows; }

    void rotate_to_modes() {
        const RitzPairs found = ritz_pairs({products_.stiffness, products_.mass}, x_.lanes());
        values_ = found.values;
        rotate(found.combinations, x_, threads_);
    }

    /// The packs with a wanted mode that has not converged.
    [[nodiscard]] Packs unconverged(int count, double limit) const {
        Packs packs;
        for (const int k : all_packs(x_.lanes())) {
            const int wanted = std::min(lane, count - k * lane);
            if (wanted > 0 && products_.residual.segment(k * lane, wanted).maxCoeff() > limit) packs.push_back(k);
        }
        return packs;
    }

    /// Products of modes, earlier and new directions. Of a mode x and a direction w, x' K w = value x' M w + r' w with
    /// the residual r: the sum itself would lose r' w to rounding. r' p of earlier directions is zero.
    [[nodiscard]] SmallProblem small_problem() const {
        const Eigen::Index m = x_.lanes(), p = p_.lanes(), a = w_.lanes(), all = m + p + a;
        const DirectionProducts d = direction_products(film_, x_, residual_, p_, w_, threads_);
        SmallProblem out{Eigen::MatrixXd::Zero(all, all), Eigen::MatrixXd::Zero(all, all)};
        out.mass.topLeftCorner(m, m) = products_.mass;
        out.stiffness.topLeftCorner(m, m) = products_.stiffness;
        out.mass.middleRows(m, p).leftCols(m + p) = earlier_mass_;
        out.stiffness.middleRows(m, p).leftCols(m) = earlier_mass_.leftCols(m) * values_.asDiagonal();
        out.stiffness.block(m, m, p, p) = earlier_stiffness_;
        out.mass.bottomRows(a) = d.mass;
        out.stiffness.bottomLeftCorner(a, m) = d.mass.leftCols(m) * values_.asDiagonal() + d.residual;
        out.stiffness.bottomRightCorner(a, p + a) = d.stiffness;
        for (Eigen::MatrixXd* const g : {&out.mass, &out.stiffness}) *g = g->selfadjointView<Eigen::Lower>();
        return out;
    }

    /// New modes and directions; the directions' products follow from the small problem.
    void update(const SmallProblem& small, const Eigen::MatrixXd& c) {
        const Eigen::Index m = x_.lanes(), p = p_.lanes(), a = w_.lanes();
        combine({c.topRows(m), c.middleRows(m, p), c.bottomRows(a), active_}, x_, p_, w_, threads_);
        Eigen::MatrixXd directions = Eigen::MatrixXd::Zero(m + p + a, a);
        for (Eigen::Index k = 0; k < a; ++k)
            directions.col(k).tail(p + a) =
                c.col(lane * active_[static_cast<std::size_t>(k / lane)] + k % lane).tail(p + a);
        earlier_stiffness_ = directions.transpose() * small.stiffness * directions;
        earlier_mass_.resize(a, m + a);
        earlier_mass_ << directions.transpose() * small.mass * c, directions.transpose() * small.mass * directions;
        std::swap(p_, w_);
        w_.narrow(p_.lanes());
    }

    const LatticeFilm& film_;
    BlockCycle cycle_;
    Block<double> x_;
    Block<float> residual_, w_, p_;
    Packs active_;  ///< of the modes that w's vectors belong to
    unsigned threads_;
    Vector values_;
    ModeProducts products_;
    Eigen::MatrixXd earlier_stiffness_;  ///< P' K P
    Eigen::MatrixXd earlier_mass_;       ///< P' M [X P]
};

Block<double> direct_modes(const LatticeFilm& film, int lanes) {
    const SparseFilm sparse = to_sparse(film);
    const auto available = static_cast<int>(sparse.place.size()) - 2;
    if (available < lanes) throw NoAnswer("the grid has fewer nodes than modes are asked for");
    const Eigenpairs pairs = lowest_eigenpairs(sparse.stiffness, sparse.mass, lanes);
    Block<double> x(film.stiffness.columns, film.stiffness.rows, lanes);
    x.clear();
    double* const to = x.at(-1, -1);
    for (std::size_t u = 0; u < sparse.place.size(); ++u)
        for (int v = 0; v < lanes; ++v)
            to[sparse.place[u] * static_cast<std::size_t>(lanes) + static_cast<std::size_t>(v)] =
                pairs.vectors(static_cast<Eigen::Index>(u), v);
    return x;
}

std::size_t start_level(const Ladder& ladder, std::size_t largest, int lanes) {
    std::size_t level = 0;
    while (level + 1 < ladder.levels() && ladder.level(level).unknowns() > largest &&
           ladder.level(level + 1).unknowns() > 4 * static_cast<std::size_t>(lanes))
        ++level;
    return level;
}

/// Residuals of one level, and what they say about the iteration.
class Progress {
public:
    Progress(std::size_t unknowns, const LatticeModeOptions& options, const SolveEffort& effort)
        : unknowns_(unknowns), options_(options), effort_(effort) {}

    void step(LevelSolver& solver, double limit) {
        effort_.keep_going();
        solver.step(options_.count, limit);
        residuals_.push_back(solver.worst(options_.count));
        if (effort_.progress) effort_.progress({SolveStage::modes, unknowns_, steps(), residuals_.back()});
        constexpr std::size_t patience = 8;
        if (steps() < options_.largest_steps &&
            (residuals_.size() <= patience || residuals_.back() < 0.5 * residuals_[residuals_.size() - 1 - patience]))
            return;
        throw NoAnswer("the block eigensolver does not converge on a grid of " + std::to_string(unknowns_) +
                       " nodes: film that is free along a whole side has no distinct modes without bending, which this "
                       "solver leaves out; hold that side or narrow the film, or ask for fewer modes");
    }
    [[nodiscard]] int steps() const { return static_cast<int>(residuals_.size()); }

private:
    std::size_t unknowns_;
    const LatticeModeOptions& options_;
    const SolveEffort& effort_;
    std::vector<double> residuals_;
};

/// The inertia of K - limit M, with a limit in the widest gap above the last wanted mode, counts the modes below it.
bool complete(const LatticeFilm& film, const Vector& values, int count) {
    const Eigen::Index last = std::min<Eigen::Index>(values.size() - 2, count + 2);
    Eigen::Index k = count - 1;
    for (Eigen::Index n = count; n <= last; ++n)
        if (values[n + 1] / values[n] > values[k + 1] / values[k]) k = n;
    const SparseFilm sparse = to_sparse(film);
    // Nearer to the lower value: the upper one may still fall.
    const double limit = values[k] + 0.25 * (values[k + 1] - values[k]);
    return count_below(sparse.stiffness, sparse.mass, limit) == k + 1;
}

/// @param checked  count the modes by inertia too
LevelReport solve_level(LevelSolver& solver, const LatticeFilm& film, bool checked, double limit,
                        const LatticeModeOptions& options, const SolveEffort& effort) {
    constexpr int more_steps = 3;  // for modes whose neighbours have not settled
    const std::size_t unknowns = film.unknowns();
    Progress progress(unknowns, options, effort);
    while (solver.worst(options.count) > limit) progress.step(solver, limit);
    for (int more = 0; checked && !complete(film, solver.values(), options.count); ++more) {
        if (more == more_steps)
            throw NoAnswer("the block eigensolver missed a mode on a grid of " + std::to_string(unknowns) +
                           " nodes; ask for one mode more or less");
        progress.step(solver, 0.0);
    }
    return {unknowns, progress.steps(), solver.worst(options.count)};
}

std::size_t bytes(const Ladder& ladder) {
    std::size_t sum = 0;
    for (std::size_t k = 0; k < ladder.levels(); ++k) {
        const LatticeFilm& film = ladder.level(k);
        sum += film.mass.size() * (sizeof(double) + sizeof(HalfStar<double>));
    }
    return sum;
}

}  // namespace

bool factors_well(const Grid& grid) {
    const auto nodes = static_cast<double>(grid.nodes.size()), most = static_cast<double>(largest_direct);
    const double across = nodes / std::max(grid.columns, grid.rows);
    return nodes * across * across < most * most;
}

LatticeModes lattice_modes(const LatticeFilm& film, const LatticeModeOptions& options, const SolveEffort& effort) {
    const Ladder ladder = make_ladder(film, effort.cores());
    const int lanes = carried(options.count);
    std::size_t level = start_level(ladder, options.start, lanes);
    Block<double> x = direct_modes(ladder.level(level), lanes);
    std::vector<LevelReport> reports{{ladder.level(level).unknowns(), 0, 0.0}};
    for (;;) {
        const LatticeFilm& here = ladder.level(level);
        // On coarser levels only what the next one inherits has to be right.
        const double limit = level == 0 ? options.residual : 3.0 * options.residual;
        const bool checked =
            here.unknowns() <= largest_checked && (level == 0 || ladder.level(level - 1).unknowns() > largest_checked);
        LevelSolver solver(ladder, level, std::move(x), effort.cores());
        reports.push_back(solve_level(solver, here, checked, limit, options, effort));
        const std::size_t held = bytes(ladder) + solver.bytes();
        x = solver.take();
        if (level == 0) {
            const double residual = reports.back().residual;
            return {solver.values().head(options.count), lanes, x.release(), residual, std::move(reports), held};
        }
        const Stencil<double>& finer = ladder.level(level - 1).stiffness;
        Block<double> next(finer.columns, finer.rows, lanes);
        interpolate(finer, x, next, false, effort.cores());
        x = std::move(next);
        --level;
    }
}

std::size_t lattice_modes_bytes(int columns, int rows, int count) {
    const auto nodes = static_cast<double>(columns + 2) * static_cast<double>(rows + 2);
    const double lanes = carried(count), coarser = 1.0 / 3.0;
    const double film = (1.0 + coarser) * (sizeof(double) + sizeof(HalfStar<double>));
    // Modes; residuals, directions and earlier directions; loads and corrections of the coarser levels.
    return static_cast<std::size_t>(
        nodes * (film + lanes * (sizeof(double) + 3 * sizeof(float) + 2.0 * coarser * sizeof(float))));
}

}  // namespace tymbal

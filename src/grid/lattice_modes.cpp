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

/// Vectors carried along: the wanted ones and some more, so that the last wanted one converges as well as the first.
int carried(int count) {
    return whole_lanes(count + std::max(2, count / 5));
}

void require_going(const SolveEffort& effort) {
    if (effort.stop != nullptr && effort.stop->load()) throw NoAnswer("the solution was stopped");
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
          threads_(threads) {
        p_.narrow(0);
        values_ = Vector::Ones(x_.lanes());
        rotate_to_modes();
        products_ = mode_products(film_, x_, values_, residual_, threads_);
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
        Block<float> none(columns(), rows(), 0);
        const ModeProducts products = mode_products(film_, x_, Vector::Ones(x_.lanes()), none, threads_);
        const RitzPairs found = ritz_pairs({products.stiffness, products.mass}, x_.lanes());
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

LevelReport solve_level(LevelSolver& solver, std::size_t unknowns, double limit, const LatticeModeOptions& options,
                        const SolveEffort& effort) {
    LevelReport report{unknowns, 0, solver.worst(options.count)};
    while (report.residual > limit) {
        require_going(effort);
        if (report.steps == options.largest_steps)
            throw NoAnswer("the block eigensolver does not converge on a grid of " + std::to_string(unknowns) +
                           " nodes; ask for fewer modes or a finer grid");
        solver.step(options.count, limit);
        report.residual = solver.worst(options.count);
        ++report.steps;
        if (effort.progress) effort.progress({unknowns, report.steps, report.residual});
    }
    return report;
}

LatticeModes result(const LatticeFilm& film, Block<double>&& x, const Vector& values, int count) {
    LatticeModes out;
    out.values = values.head(count);
    const std::size_t nodes = film.mass.size();
    out.vectors.resize(nodes * static_cast<std::size_t>(count));
    const double* from = x.at(-1, -1);
    for (std::size_t n = 0; n < nodes; ++n, from += x.lanes())
        std::copy(from, from + count, out.vectors.data() + n * static_cast<std::size_t>(count));
    return out;
}

}  // namespace

LatticeModes lattice_modes(const LatticeFilm& film, const LatticeModeOptions& options, const SolveEffort& effort) {
    const Ladder ladder = make_ladder(film, effort.threads);
    const int lanes = carried(options.count);
    std::size_t level = start_level(ladder, options.start, lanes);
    Block<double> x = direct_modes(ladder.level(level), lanes);
    std::vector<LevelReport> reports{{ladder.level(level).unknowns(), 0, 0.0}};
    Vector values;
    for (;;) {
        // On coarser levels only what the next one inherits has to be right: their own error is larger than this.
        const double limit = level == 0 ? options.residual : 10.0 * options.residual;
        LevelSolver solver(ladder, level, std::move(x), effort.threads);
        const std::size_t unknowns = ladder.level(level).unknowns();
        reports.push_back(solve_level(solver, unknowns, limit, options, effort));
        x = solver.take();
        values = solver.values();
        if (level == 0) break;
        const Stencil<double>& finer = ladder.level(level - 1).stiffness;
        Block<double> next(finer.columns, finer.rows, lanes);
        interpolate(finer, x, next, false, effort.threads);
        x = std::move(next);
        --level;
    }
    LatticeModes out = result(film, std::move(x), values, options.count);
    out.worst_residual = reports.back().residual;
    out.levels = std::move(reports);
    return out;
}

}  // namespace tymbal

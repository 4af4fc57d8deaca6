#include "multigrid.h"

#include "largest_eigenvalue.h"
#include "strips.h"

#include "../grid/wide.h"

#include <algorithm>
#include <array>
#include <utility>

namespace tymbal::spline {

namespace {

constexpr int degree_of_smoother = 4;
constexpr double smoothed_part = 16.0;  ///< largest over least eigenvalue that a smoothing deals with

PageVector<float> inverse_diagonal(const Rows& a) {
    PageVector<float> out(static_cast<std::size_t>(a.pattern->rows() * a.fields));
    for (int n = 0; n < a.pattern->rows(); ++n)
        for (int f = 0; f < a.fields; ++f)
            out[static_cast<std::size_t>(n * a.fields + f)] = static_cast<float>(
                1.0 / a.value[static_cast<std::size_t>(a.pattern->entry(n, n) * a.block() + f * (a.fields + 1))]);
    return out;
}

/// Chebyshev's step k: d = keep d + add D^-1 r. Source: Saad, Iterative Methods for Sparse Linear Systems, 2nd ed.,
/// algorithm 12.1 (from memory).
struct Steps {
    std::array<float, degree_of_smoother> keep{}, add{};
    explicit Steps(double largest) {
        const double least = largest / smoothed_part, middle = 0.5 * (largest + least),
                     half = 0.5 * (largest - least), ratio = middle / half;
        double rho = 1.0 / ratio;
        add[0] = static_cast<float>(1.0 / middle);
        for (std::size_t k = 1; k < degree_of_smoother; ++k) {
            const double next = 1.0 / (2.0 * ratio - rho);
            keep[k] = static_cast<float>(next * rho);
            add[k] = static_cast<float>(2.0 * next / half);
            rho = next;
        }
    }
};

/// One step of all vectors of a run. @param set  the correction starts here
struct Step {
    float keep = 0.0F, add = 0.0F;
    bool set = false;
};

TYMBAL_WIDE void take_step(const float* diagonal, std::size_t fields, Step s, Run run, std::size_t lanes,
                           const float* __restrict residual, float* __restrict step, float* __restrict correction) {
    for (std::size_t n = run.from; n < run.to; ++n)
        for (std::size_t v = 0; v < lanes; ++v) {
            const std::size_t at = n * lanes + v;
            const float turn = s.add * diagonal[fields == 1 ? n : at] * residual[at];
            step[at] = s.keep == 0.0F ? turn : s.keep * step[at] + turn;
            correction[at] = s.set ? step[at] : correction[at] + step[at];
        }
}

/// r -= A d
void take_off(const Rows& a, const float* d, std::size_t lanes, float* r, unsigned threads) {
    for_each_strip(static_cast<std::size_t>(a.pattern->rows()), threads, [&](Run all) {
        PageVector<float> product_of(chunk * lanes);
        for_each_chunk(all, [&](Run run) {
            product(a, d, static_cast<int>(lanes), run, product_of.data());
            float* const to = r + run.from * lanes;
            for (std::size_t k = 0; k < (run.to - run.from) * lanes; ++k) to[k] -= product_of[k];
        });
    });
}

/// Coarse residual = P' fine residual.
void restrict_to(const Level& coarse, const float* fine, std::size_t lanes, float* out, unsigned threads) {
    const Restriction& down = coarse.from_finer;
    for_each_strip(static_cast<std::size_t>(coarse.space.size), threads, [&](Run run) {
        for (std::size_t n = run.from; n < run.to; ++n) {
            float* const to = out + n * lanes;
            std::fill(to, to + lanes, 0.0F);
            for (auto k = static_cast<std::size_t>(down.first[n]); k < static_cast<std::size_t>(down.first[n + 1]); ++k) {
                const float* const from = fine + static_cast<std::size_t>(down.from[k]) * lanes;
                for (std::size_t v = 0; v < lanes; ++v) to[v] += down.weight[k] * from[v];
            }
        }
    });
}

template <class T>
void prolong_to(const Prolongation& p, const T* coarse, std::size_t lanes, T* out, unsigned threads) {
    for_each_strip(p.rows.size(), threads, [&](Run run) {
        for (std::size_t n = run.from; n < run.to; ++n) {
            const Prolongation::Row& row = p.rows[n];
            std::array<const T*, 4> from{};
            std::array<T, 4> weight{};
            for (std::size_t k = 0; k < 4; ++k) {
                from[k] = coarse + static_cast<std::size_t>(row.from[k]) * lanes;
                weight[k] = static_cast<T>(row.weight[k]);
            }
            for (std::size_t v = 0; v < lanes; ++v)
                out[n * lanes + v] = weight[0] * from[0][v] + weight[1] * from[1][v] + weight[2] * from[2][v] +
                                     weight[3] * from[3][v];
        }
    });
}

}  // namespace

/// Numbers of a cycle on every level: what is left of the residual, the last step, the correction.
struct Multigrid::Work {
    struct OfLevel {
        PageVector<float> own_correction, residual, step;
        float* correction = nullptr;
    };
    int lanes = 0;
    std::vector<OfLevel> level;
};

void prolong(const Prolongation& p, const float* coarse, int lanes, float* out, unsigned threads) {
    prolong_to(p, coarse, static_cast<std::size_t>(lanes), out, threads);
}
void prolong(const Prolongation& p, const double* coarse, int lanes, double* out, unsigned threads) {
    prolong_to(p, coarse, static_cast<std::size_t>(lanes), out, threads);
}

Multigrid::Multigrid(const Levels& levels, std::vector<const Rows*> matrices, unsigned threads)
    : levels_(levels),
      matrices_(std::move(matrices)),
      coarsest_(matrices_.back()->lower(), levels.all.back().space, matrices_.back()->fields),
      threads_(threads) {
    for (std::size_t k = 0; k + 1 < matrices_.size(); ++k) {
        inverse_diagonal_.push_back(inverse_diagonal(*matrices_[k]));
        largest_.push_back(largest_eigenvalue(*matrices_[k], inverse_diagonal_.back(), threads_));
    }
}

/// @param first  the correction is still zero
void Multigrid::smooth(std::size_t level, Work& work, bool first) const {
    const Rows& a = *matrices_[level];
    const PageVector<float>& diagonal = inverse_diagonal_[level];
    Work::OfLevel& w = work.level[level];
    const auto lanes = static_cast<std::size_t>(work.lanes), rows = static_cast<std::size_t>(a.pattern->rows());
    const auto fields = static_cast<std::size_t>(a.fields);
    const Steps steps(largest_[level]);
    for (std::size_t k = 0; k < degree_of_smoother; ++k) {
        if (k > 0) take_off(a, w.step.data(), lanes, w.residual.data(), threads_);
        const Step step{steps.keep[k], steps.add[k], k == 0 && first};
        for_each_strip(rows, threads_, [&](Run run) {
            take_step(diagonal.data(), fields, step, run, lanes, w.residual.data(), w.step.data(), w.correction);
        });
    }
}

void Multigrid::solve_coarsest(Work& work) const {
    Work::OfLevel& w = work.level.back();
    const Eigen::Index numbers = matrices_.back()->pattern->rows() * static_cast<Eigen::Index>(work.lanes);
    const Eigen::Index columns = fields() == 1 ? work.lanes : 1;
    using Columns = Eigen::Matrix<float, Eigen::Dynamic, Eigen::Dynamic, Eigen::RowMajor>;
    const Eigen::MatrixXd b = Eigen::Map<const Columns>(w.residual.data(), numbers / columns, columns).cast<double>();
    Eigen::Map<Columns>(w.correction, numbers / columns, columns) = coarsest_.solve(b).cast<float>();
}

void Multigrid::down(std::size_t level, Work& work) const {
    if (level + 1 == matrices_.size()) return solve_coarsest(work);
    const Level& coarse = levels_[level + 1];
    const Rows& a = *matrices_[level];
    Work::OfLevel &w = work.level[level], &next = work.level[level + 1];
    const auto lanes = static_cast<std::size_t>(work.lanes);
    smooth(level, work, true);
    take_off(a, w.step.data(), lanes, w.residual.data(), threads_);
    restrict_to(coarse, w.residual.data(), lanes, next.residual.data(), threads_);
    down(level + 1, work);
    prolong(coarse.to_finer, next.correction, work.lanes, w.step.data(), threads_);
    for_each_strip(static_cast<std::size_t>(a.pattern->rows()), threads_, [&](Run run) {
        for (std::size_t k = run.from * lanes; k < run.to * lanes; ++k) w.correction[k] += w.step[k];
    });
    take_off(a, w.step.data(), lanes, w.residual.data(), threads_);
    smooth(level, work, false);
}

void Multigrid::cycle(const float* residual, int lanes, float* out) const {
    Work work{lanes, {}};
    for (const Rows* a : matrices_) {
        const auto numbers = static_cast<std::size_t>(a->pattern->rows()) * static_cast<std::size_t>(lanes);
        const bool finest = work.level.empty();
        work.level.push_back({PageVector<float>(finest ? 0 : numbers), PageVector<float>(numbers), PageVector<float>(numbers), out});
        if (!finest) work.level.back().correction = work.level.back().own_correction.data();
    }
    std::copy(residual, residual + work.level.front().residual.size(), work.level.front().residual.begin());
    down(0, work);
}

}  // namespace tymbal::spline

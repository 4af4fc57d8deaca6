#include "multigrid.h"

#include "strips.h"

#include <algorithm>
#include <array>
#include <utility>

namespace tymbal::spline {

namespace {

/// Coarse residual = P' fine residual.
void restrict_to(const Level& coarse, const float* fine, std::size_t lanes, float* out, unsigned threads) {
    const Restriction& down = coarse.from_finer;
    for_each_strip(static_cast<std::size_t>(coarse.space.size), threads, [&](Run run) {
        for (std::size_t n = run.from; n < run.to; ++n) {
            float* const to = out + n * lanes;
            std::fill(to, to + lanes, 0.0F);
            for (auto k = static_cast<std::size_t>(down.first[n]); k < static_cast<std::size_t>(down.first[n + 1]);
                 ++k) {
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
                out[n * lanes + v] =
                    weight[0] * from[0][v] + weight[1] * from[1][v] + weight[2] * from[2][v] + weight[3] * from[3][v];
        }
    });
}

}  // namespace

void prolong(const Prolongation& p, const float* coarse, int lanes, float* out, unsigned threads) {
    prolong_to(p, coarse, static_cast<std::size_t>(lanes), out, threads);
}
void prolong(const Prolongation& p, const double* coarse, int lanes, double* out, unsigned threads) {
    prolong_to(p, coarse, static_cast<std::size_t>(lanes), out, threads);
}

Multigrid::Multigrid(const Levels& levels, std::vector<const Rows*> matrices, unsigned threads)
    : levels_(levels),
      matrices_(std::move(matrices)),
      coarsest_(matrices_.back()->lower(), levels[matrices_.size() - 1].space, matrices_.back()->fields),
      threads_(threads) {
    smoothers_.reserve(matrices_.size());
    for (std::size_t k = 0; k + 1 < matrices_.size(); ++k)
        smoothers_.emplace_back(*matrices_[k], levels[k].blocks, threads_);
}

Multigrid::Work::Work(const Multigrid& grid, int lanes, std::size_t level)
    : lanes_(lanes), first_(level), level_(grid.matrices_.size()) {
    for (std::size_t k = level; k < level_.size(); ++k) {
        const auto numbers =
            static_cast<std::size_t>(grid.matrices_[k]->pattern->rows()) * static_cast<std::size_t>(lanes);
        OfLevel& own = level_[k];
        own.residual.resize(numbers);
        if (k + 1 < level_.size()) own.step.resize(numbers);
        if (k > level) own.own_correction.resize(numbers);
        own.correction = own.own_correction.data();
    }
}

void Multigrid::solve_coarsest(Work& work) const {
    Work::OfLevel& w = work.level_.back();
    const Eigen::Index numbers = matrices_.back()->pattern->rows() * static_cast<Eigen::Index>(work.lanes_);
    const Eigen::Index columns = fields() == 1 ? work.lanes_ : 1;
    using Columns = Eigen::Matrix<float, Eigen::Dynamic, Eigen::Dynamic, Eigen::RowMajor>;
    const Eigen::MatrixXd b = Eigen::Map<const Columns>(w.residual.data(), numbers / columns, columns).cast<double>();
    Eigen::Map<Columns>(w.correction, numbers / columns, columns) = coarsest_.solve(b).cast<float>();
}

void Multigrid::down(std::size_t level, Work& work) const {
    if (level + 1 == matrices_.size()) return solve_coarsest(work);
    const Level& coarse = levels_[level + 1];
    const Smoother& smoother = smoothers_[level];
    Work::OfLevel &w = work.level_[level], &next = work.level_[level + 1];
    const int lanes = work.lanes_;
    const auto each = static_cast<std::size_t>(lanes);
    smoother.run(w.residual.data(), w.step.data(), w.correction, lanes, true);
    smoother.take_off(w.step.data(), w.residual.data(), lanes);
    restrict_to(coarse, w.residual.data(), each, next.residual.data(), threads_);
    down(level + 1, work);
    prolong(coarse.to_finer, next.correction, lanes, w.step.data(), threads_);
    for_each_strip(coarse.to_finer.rows.size(), threads_, [&](Run run) {
        for (std::size_t k = run.from * each; k < run.to * each; ++k) w.correction[k] += w.step[k];
    });
    smoother.take_off(w.step.data(), w.residual.data(), lanes);
    smoother.run(w.residual.data(), w.step.data(), w.correction, lanes, false);
}

void Multigrid::cycle(const float* residual, Work& work, float* out) const {
    Work::OfLevel& finest = work.level_[work.first_];
    finest.correction = out;
    std::copy(residual, residual + finest.residual.size(), finest.residual.begin());
    down(work.first_, work);
}

}  // namespace tymbal::spline

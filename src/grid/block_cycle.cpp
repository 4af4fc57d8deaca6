#include "block_cycle.h"

#include "galerkin.h"
#include "star.h"
#include "wide.h"

#include "tymbal/base/error.h"

#include <algorithm>
#include <utility>

namespace tymbal {

namespace {

constexpr int strip = 16;            ///< rows that one thread does at a time
constexpr int coarsest_nodes = 150;  /// a level as small as this is solved directly
// Smoothing before and after the coarse correction. At holes the coarse matrices are only roughly right, and beside the
// algebra of whole blocks sweeps are cheap: with one sweep a perforated film took seven block steps, with three it
// takes three.
constexpr int sweeps = 3;
using Lanes = Pack<float>::type;

/// Right-hand sides: some packs of a block.
struct Load {
    const Block<float>& block;
    const Packs& packs;
};

std::size_t strips(int rows) {
    return static_cast<std::size_t>((rows + strip - 1) / strip);
}

/// Small levels are not worth a thread.
unsigned worth(unsigned threads, int columns, int rows) {
    return static_cast<long>(columns) * rows < 4000 ? 1 : threads;
}

void require_positive(const Stencil<double>& k) {
    for (const HalfStar<double>& s : k.star)
        if (s.centre < 0.0)
            throw NoAnswer(
                "the film is not stable: a node of the grid has negative stiffness under the relaxed stress; raise "
                "film.stress above zero or refine the grid");
}

/// One row of one colour: x = (b - sum of w x over the neighbours) / centre. `Sides`, `Rows`: which neighbours count;
/// the others are known to be zero.
template <bool Sides, bool Rows>
TYMBAL_INLINE void relax(const Stencil<double>& k, const Load& b, Block<float>& x, int j, int first) {
    const int lanes = x.lanes();
    const auto step = neighbours(x.stride(), lanes);
    const auto stride = static_cast<std::ptrdiff_t>(k.stride());
    const int* const packs = b.packs.data();
    for (int i = first; i < k.columns; i += 2) {
        const HalfStar<double>* const s = &k.star[k.at(i, j)];
        const double inverse = s->centre > 0.0 ? 1.0 / s->centre : 0.0;
        const Star star(s, stride);
        std::array<float, 8> w;
        for (std::size_t n = 0; n < 8; ++n) w[n] = static_cast<float>(star.weight[n] * inverse);
        const auto own = static_cast<float>(inverse);
        const float* const right = b.block.at(i, j);
        float* const here = x.at(i, j);
        for (int v = 0; v < lanes; v += lane) {
            Lanes sum = own * pack(right + lane * packs[v / lane]);
            if constexpr (Sides)
                for (std::size_t n = 0; n < 2; ++n) sum -= w[n] * pack(here + step[n] + v);
            if constexpr (Rows)
                for (std::size_t n = 2; n < 8; ++n) sum -= w[n] * pack(here + step[n] + v);
            pack(here + v) = sum;
        }
    }
}

TYMBAL_WIDE void relax_alone(const Stencil<double>& k, const Load& b, Block<float>& x, int j, int first) {
    relax<false, false>(k, b, x, j, first);
}
TYMBAL_WIDE void relax_with_sides(const Stencil<double>& k, const Load& b, Block<float>& x, int j, int first) {
    relax<true, false>(k, b, x, j, first);
}
TYMBAL_WIDE void relax_with_rows(const Stencil<double>& k, const Load& b, Block<float>& x, int j, int first) {
    relax<false, true>(k, b, x, j, first);
}
TYMBAL_WIDE void relax_with_all(const Stencil<double>& k, const Load& b, Block<float>& x, int j, int first) {
    relax<true, true>(k, b, x, j, first);
}

template <class RowWork>
void every_other_row(int rows, int first, unsigned threads, RowWork work) {
    in_parallel(strips(rows), threads, [&](std::size_t s) {
        const int from = static_cast<int>(s) * strip;
        for (int j = from + first; j < std::min(from + strip, rows); j += 2) work(j);
    });
}

/// From zero: colours in rising order.
void sweep_first(const Stencil<double>& k, const Load& b, Block<float>& x, unsigned threads) {
    every_other_row(k.rows, 0, threads, [&](int j) {
        relax_alone(k, b, x, j, 0);
        relax_with_sides(k, b, x, j, 1);
    });
    every_other_row(k.rows, 1, threads, [&](int j) {
        relax_with_rows(k, b, x, j, 0);
        relax_with_all(k, b, x, j, 1);
    });
}

/// Colours in rising order; falling order is its transpose.
void sweep(const Stencil<double>& k, const Load& b, Block<float>& x, bool rising, unsigned threads) {
    for (const int first : {0, 1})
        every_other_row(k.rows, rising ? first : 1 - first, threads, [&](int j) {
            relax_with_all(k, b, x, j, rising ? 0 : 1);
            relax_with_all(k, b, x, j, rising ? 1 : 0);
        });
}

/// One fine row of b - K x, restricted along x, into `out` (coarse columns times lanes). Differences of neighbours are
/// taken before they are weighted: in single precision the weights would not sum to zero.
TYMBAL_WIDE void residual_row(const Stencil<double>& k, const Load& b, const Block<float>& x, int j,
                              std::vector<float>& out) {
    const int lanes = x.lanes();
    const int coarse = coarse_count(k.columns);
    const auto step = neighbours(x.stride(), lanes);
    const auto stride = static_cast<std::ptrdiff_t>(k.stride());
    const int* const packs = b.packs.data();
    std::fill(out.begin(), out.end(), 0.0F);
    for (int i = 0; i < k.columns; ++i) {
        const HalfStar<double>* const s = &k.star[k.at(i, j)];
        const Star star(s, stride);
        std::array<float, 8> w;
        for (std::size_t n = 0; n < 8; ++n) w[n] = static_cast<float>(star.weight[n]);
        const auto rest = static_cast<float>(s->centre + star.sum());
        const float *const right = b.block.at(i, j), *const here = x.at(i, j);
        float* const below = out.data() + static_cast<std::ptrdiff_t>(i / 2) * lanes;
        for (int v = 0; v < lanes; v += lane) {
            const Lanes own = pack(here + v);
            Lanes r = pack(right + lane * packs[v / lane]) - rest * own;
            for (std::size_t n = 0; n < 8; ++n) r -= w[n] * (pack(here + step[n] + v) - own);
            if (i % 2 == 1) {
                pack(below + v) += r;
                continue;
            }
            r *= 0.5F;
            if (i / 2 < coarse) pack(below + v) += r;
            if (i > 0) pack(below - lanes + v) += r;
        }
    }
}

void add_row(float* __restrict to, const std::vector<float>& row, float weight) {
    for (std::size_t v = 0; v < row.size(); ++v) to[v] += weight * row[v];
}

/// coarse = P' (b - K x)
void restrict_residual(const Stencil<double>& k, const Load& b, const Block<float>& x, Block<float>& coarse,
                       unsigned threads) {
    in_parallel(strips(coarse.rows()), threads, [&](std::size_t s) {
        const int from = static_cast<int>(s) * strip;
        const int to = std::min(from + strip, coarse.rows());
        const auto size = static_cast<std::size_t>(coarse.columns()) * static_cast<std::size_t>(coarse.lanes());
        std::vector<float> row(size), next(size);
        residual_row(k, b, x, 2 * from, next);
        for (int j = from; j < to; ++j) {
            float* const out = coarse.at(0, j);
            std::fill(out, out + size, 0.0F);
            add_row(out, next, 0.5F);
            residual_row(k, b, x, 2 * j + 1, row);
            add_row(out, row, 1.0F);
            if (2 * j + 2 >= k.rows) break;
            residual_row(k, b, x, 2 * j + 2, next);
            add_row(out, next, 0.5F);
        }
    });
}

}  // namespace

Ladder make_ladder(const LatticeFilm& fine, unsigned threads) {
    Ladder ladder{&fine, {}};
    require_positive(fine.stiffness);
    for (;;) {
        const LatticeFilm& last = ladder.level(ladder.coarse.size());
        const Stencil<double>& k = last.stiffness;
        if (k.columns * k.rows <= coarsest_nodes || std::min(k.columns, k.rows) < 4) return ladder;
        LatticeFilm next{galerkin(k, worth(threads, k.columns, k.rows)), {}};
        next.mass = coarse_mass(k, last.mass, next.stiffness);
        require_positive(next.stiffness);
        ladder.coarse.push_back(std::move(next));
    }
}

BlockCycle::BlockCycle(const Ladder& ladder, std::size_t top, int lanes, unsigned threads)
    : ladder_(ladder), top_(top), threads_(threads) {
    for (std::size_t k = top + 1; k < ladder.levels(); ++k) {
        const Stencil<double>& s = ladder.level(k).stiffness;
        b_.emplace_back(s.columns, s.rows, lanes);
        x_.emplace_back(s.columns, s.rows, lanes);
    }
    SparseFilm sparse = to_sparse(ladder.level(ladder.levels() - 1));
    place_ = std::move(sparse.place);
    coarsest_.compute(sparse.stiffness);
    if (coarsest_.info() != Eigen::Success || (coarsest_.vectorD().array() <= 0.0).any())
        throw NoAnswer("the film is not stable: its stiffness on the coarsest grid is not positive");
}

void BlockCycle::solve(const Block<float>& b, const Packs& packs, Block<float>& x) {
    for (Block<float>& block : b_) block.narrow(x.lanes());
    for (Block<float>& block : x_) block.narrow(x.lanes());
    (x_.empty() ? x : x_.back()).clear();  // its nodes without film are never written
    cycle(top_, b, packs, x);
}

void BlockCycle::cycle(std::size_t level, const Block<float>& b, const Packs& packs, Block<float>& x) {
    if (level + 1 == ladder_.levels()) return solve_coarsest(b, packs, x);
    const Stencil<double>& k = ladder_.level(level).stiffness;
    const unsigned threads = worth(threads_, k.columns, k.rows);
    Block<float>&coarse_b = b_[level - top_], &coarse_x = x_[level - top_];
    sweep_first(k, {b, packs}, x, threads);
    for (int n = 1; n < sweeps; ++n) sweep(k, {b, packs}, x, true, threads);
    for (int visit = 0; visit < (level == top_ ? 1 : 2); ++visit) {
        restrict_residual(k, {b, packs}, x, coarse_b, threads);
        cycle(level + 1, coarse_b, all_packs(coarse_b.lanes()), coarse_x);
        interpolate(k, coarse_x, x, true, threads);
    }
    for (int n = 0; n < sweeps; ++n) sweep(k, {b, packs}, x, false, threads);
}

void BlockCycle::solve_coarsest(const Block<float>& b, const Packs& packs, Block<float>& x) const {
    const Eigen::Index lanes = x.lanes();
    const auto size = static_cast<Eigen::Index>(place_.size());
    Eigen::MatrixXd load(size, lanes);
    const float* const from = b.at(-1, -1);
    float* const to = x.at(-1, -1);
    for (Eigen::Index u = 0; u < size; ++u) {
        const auto at = static_cast<Eigen::Index>(place_[static_cast<std::size_t>(u)]) * b.lanes();
        for (Eigen::Index v = 0; v < lanes; ++v)
            load(u, v) = static_cast<double>(from[at + lane * packs[static_cast<std::size_t>(v / lane)] + v % lane]);
    }
    const Eigen::MatrixXd answer = coarsest_.solve(load);
    for (Eigen::Index u = 0; u < size; ++u) {
        const auto at = static_cast<Eigen::Index>(place_[static_cast<std::size_t>(u)]) * lanes;
        for (Eigen::Index v = 0; v < lanes; ++v) to[at + v] = static_cast<float>(answer(u, v));
    }
}

std::size_t BlockCycle::bytes() const {
    std::size_t sum = 0;
    for (std::size_t k = 0; k < b_.size(); ++k) sum += b_[k].bytes() + x_[k].bytes();
    return sum;
}

template <class T>
void interpolate(const Stencil<double>& fine, const Block<T>& coarse, Block<T>& x, bool add, unsigned threads) {
    const int lanes = x.lanes();
    in_parallel(strips(x.rows()), threads, [&](std::size_t s) {
        const int from = static_cast<int>(s) * strip;
        for (int j = from; j < std::min(from + strip, x.rows()); ++j) {
            const int low = j % 2 == 1 ? j / 2 : j / 2 - 1;
            const std::ptrdiff_t up = j % 2 == 1 ? 0 : coarse.stride();
            for (int i = 0; i < x.columns(); ++i) {
                if (fine.star[fine.at(i, j)].centre == 0.0) {
                    if (!add) std::fill(x.at(i, j), x.at(i, j) + lanes, T{});
                    continue;
                }
                const std::ptrdiff_t right = i % 2 == 1 ? 0 : lanes;
                const T* const c = coarse.at(i % 2 == 1 ? i / 2 : i / 2 - 1, low);
                T* const __restrict out = x.at(i, j);
                for (int v = 0; v < lanes; ++v)
                    out[v] = (add ? out[v] : T{}) + T(0.25) * (c[v] + c[right + v] + c[up + v] + c[right + up + v]);
            }
        }
    });
}

template void interpolate(const Stencil<double>&, const Block<float>&, Block<float>&, bool, unsigned);
template void interpolate(const Stencil<double>&, const Block<double>&, Block<double>&, bool, unsigned);

}  // namespace tymbal

#include "block_products.h"

#include "star.h"

#include "../base/in_parallel.h"

#include <algorithm>
#include <array>
#include <functional>

namespace tymbal {

namespace {

constexpr int strip = 8;   ///< rows that one thread does at a time
constexpr int chunk = 64;  ///< nodes whose vectors stay in the fastest memory

/// A run of nodes in one row.
struct Run {
    int i, j, count;
};

/// Calls work(strip number) for strips of rows, and within them visits runs of nodes.
template <class Visit>
void for_each_run(int columns, int rows, std::size_t s, Visit visit) {
    const int from = static_cast<int>(s) * strip;
    for (int j = from; j < std::min(from + strip, rows); ++j)
        for (int i = 0; i < columns; i += chunk) visit(Run{i, j, std::min(chunk, columns - i)});
}

std::size_t strips(int rows) {
    return static_cast<std::size_t>((rows + strip - 1) / strip);
}

/// sum += a' b over the run; row-major, a's vectors by b's. Tile rows fit the registers.
template <class T>
void add_products(const T* a, int a_lanes, const T* b, int b_lanes, int count, double* sum, int sum_stride) {
    using Wide = typename Pack<T>::type;
    constexpr int tile = 16 / static_cast<int>(sizeof(T));
    for (int p = 0; p < a_lanes; p += tile) {
        for (int q = 0; q < b_lanes; q += lane) {
            Wide acc[tile] = {};
            const T* left = a + p;
            const T* right = b + q;
            for (int n = 0; n < count; ++n, left += a_lanes, right += b_lanes) {
                const Wide r = pack(right);
                for (int t = 0; t < tile; ++t) acc[t] += left[t] * r;
            }
            for (int t = 0; t < tile; ++t)
                for (int v = 0; v < lane; ++v) sum[(p + t) * sum_stride + q + v] += static_cast<double>(acc[t][v]);
        }
    }
}

/// out (+)= in * by over the run; by: row-major, `in_lanes` rows of `out_lanes`.
template <class T>
void add_combination(const T* in, int in_lanes, const T* by, int out_lanes, int count, T* out, bool add) {
    using Wide = typename Pack<T>::type;
    constexpr int tile = 16 / static_cast<int>(sizeof(T));
    for (int n = 0; n < count; n += tile) {
        const int nodes = std::min(tile, count - n);
        for (int q = 0; q < out_lanes; q += lane) {
            Wide acc[tile] = {};
            const T* const from = in + static_cast<std::ptrdiff_t>(n) * in_lanes;
            if (nodes == tile) {
                for (int k = 0; k < in_lanes; ++k) {
                    const Wide c = pack(by + k * out_lanes + q);
                    for (int t = 0; t < tile; ++t) acc[t] += from[t * in_lanes + k] * c;
                }
            } else {
                for (int k = 0; k < in_lanes; ++k)
                    for (int t = 0; t < nodes; ++t) acc[t] += from[t * in_lanes + k] * pack(by + k * out_lanes + q);
            }
            for (int t = 0; t < nodes; ++t) {
                T* const to = out + static_cast<std::ptrdiff_t>(n + t) * out_lanes + q;
                pack(to) = add ? pack(to) + acc[t] : acc[t];
            }
        }
    }
}

template <class T>
std::vector<T> row_major(const Eigen::MatrixXd& m) {
    std::vector<T> out(static_cast<std::size_t>(m.size()));
    for (Eigen::Index r = 0; r < m.rows(); ++r)
        for (Eigen::Index c = 0; c < m.cols(); ++c)
            out[static_cast<std::size_t>(r * m.cols() + c)] = static_cast<T>(m(r, c));
    return out;
}

Eigen::MatrixXd from_row_major(const double* sum, int rows, int columns) {
    return Eigen::Map<const Eigen::Matrix<double, Eigen::Dynamic, Eigen::Dynamic, Eigen::RowMajor>>(sum, rows, columns);
}

/// Strips' sums added in their order.
std::vector<double> in_order(const std::vector<std::vector<double>>& parts) {
    std::vector<double> all(parts.front().size(), 0.0);
    for (const std::vector<double>& part : parts)
        for (std::size_t k = 0; k < all.size(); ++k) all[k] += part[k];
    return all;
}

template <class T>
void scaled_by_mass(const double* mass, const T* x, int lanes, int count, T* out) {
    for (int n = 0; n < count; ++n)
        for (int v = 0; v < lanes; v += lane)
            pack(out + n * lanes + v) = static_cast<T>(mass[n]) * pack(x + n * lanes + v);
}

/// K x of a run.
void apply(const LatticeFilm& film, const Block<double>& x, const Run& run, double* out) {
    const Stencil<double>& k = film.stiffness;
    const int lanes = x.lanes();
    const auto step = neighbours(x.stride(), lanes);
    for (int n = 0; n < run.count; ++n) {
        const HalfStar<double>* const s = &k.star[k.at(run.i + n, run.j)];
        const Star star(s, static_cast<std::ptrdiff_t>(k.stride()));
        const double* const here = x.at(run.i + n, run.j);
        for (int v = 0; v < lanes; v += lane) {
            Pack<double>::type sum = s->centre * pack(here + v);
            for (std::size_t m = 0; m < 8; ++m) sum += star.weight[m] * pack(here + step[m] + v);
            pack(out + n * lanes + v) = sum;
        }
    }
}

/// K w of a run in single precision: differences first, see residual_row in block_cycle.cpp.
void apply(const LatticeFilm& film, const Block<float>& w, const Run& run, float* out) {
    const Stencil<double>& k = film.stiffness;
    const int lanes = w.lanes();
    const auto step = neighbours(w.stride(), lanes);
    for (int n = 0; n < run.count; ++n) {
        const HalfStar<double>* const s = &k.star[k.at(run.i + n, run.j)];
        const Star star(s, static_cast<std::ptrdiff_t>(k.stride()));
        const auto rest = static_cast<float>(s->centre + star.sum());
        std::array<float, 8> weight;
        for (std::size_t m = 0; m < 8; ++m) weight[m] = static_cast<float>(star.weight[m]);
        const float* const here = w.at(run.i + n, run.j);
        for (int v = 0; v < lanes; v += lane) {
            const Pack<float>::type own = pack(here + v);
            Pack<float>::type sum = rest * own;
            for (std::size_t m = 0; m < 8; ++m) sum += weight[m] * (pack(here + step[m] + v) - own);
            pack(out + n * lanes + v) = sum;
        }
    }
}

}  // namespace

ModeProducts mode_products(const LatticeFilm& film, const Block<double>& x, const Vector& values,
                           Block<float>& residual, unsigned threads) {
    const int m = x.lanes();
    const auto square = static_cast<std::size_t>(m) * static_cast<std::size_t>(m);
    std::vector<std::vector<double>> parts(strips(x.rows()));
    in_parallel(parts.size(), threads, [&](std::size_t s) {
        // stiffness, mass, |residual|^2, |M x|^2
        std::vector<double>& sum = parts[s];
        sum.assign(2 * square + 2 * static_cast<std::size_t>(m), 0.0);
        std::vector<double> kx(static_cast<std::size_t>(chunk * m)), mx(kx.size());
        for_each_run(x.columns(), x.rows(), s, [&](const Run& run) {
            apply(film, x, run, kx.data());
            scaled_by_mass(&film.mass[film.stiffness.at(run.i, run.j)], x.at(run.i, run.j), m, run.count, mx.data());
            add_products(x.at(run.i, run.j), m, kx.data(), m, run.count, sum.data(), m);
            add_products(x.at(run.i, run.j), m, mx.data(), m, run.count, sum.data() + square, m);
            double* const r2 = sum.data() + 2 * square;
            for (int n = 0; n < run.count; ++n) {
                double* const r = kx.data() + n * m;
                const double* const inertia = mx.data() + n * m;
                for (int v = 0; v < m; ++v) {
                    r[v] -= values[v] * inertia[v];
                    r2[v] += r[v] * r[v];
                    r2[m + v] += inertia[v] * inertia[v];
                }
                if (residual.lanes() == 0) continue;
                float* const out = residual.at(run.i + n, run.j);
                for (int v = 0; v < m; ++v) out[v] = static_cast<float>(r[v]);
            }
        });
    });
    const std::vector<double> sum = in_order(parts);
    ModeProducts out{from_row_major(sum.data(), m, m), from_row_major(sum.data() + square, m, m), Vector(m)};
    for (int v = 0; v < m; ++v) {
        const double* const r2 = sum.data() + 2 * square + v;
        out.residual[v] = std::sqrt(r2[0] / r2[m]) / values[v];
    }
    return out;
}

DirectionProducts direction_products(const LatticeFilm& film, const Block<double>& x, const Block<float>& residual,
                                     const Block<float>& p, const Block<float>& w, unsigned threads) {
    const int m = x.lanes(), pl = p.lanes(), a = w.lanes();
    const int for_mass = m + pl + a, for_stiffness = pl + a;
    const auto size = [&](int columns) { return static_cast<std::size_t>(a) * static_cast<std::size_t>(columns); };
    std::vector<std::vector<double>> parts(strips(x.rows()));
    in_parallel(parts.size(), threads, [&](std::size_t s) {
        std::vector<double>& sum = parts[s];
        sum.assign(size(m + for_mass + for_stiffness), 0.0);
        double* const mass_sum = sum.data() + size(m);
        double* const stiffness_sum = mass_sum + size(for_mass);
        std::vector<float> kw(static_cast<std::size_t>(chunk * a)), mw(kw.size()),
            xs(static_cast<std::size_t>(chunk * m));
        for_each_run(x.columns(), x.rows(), s, [&](const Run& run) {
            const int n = run.count;
            const float* const ws = w.at(run.i, run.j);
            const float* const ps = p.at(run.i, run.j);
            apply(film, w, run, kw.data());
            scaled_by_mass(&film.mass[film.stiffness.at(run.i, run.j)], ws, a, n, mw.data());
            std::copy(x.at(run.i, run.j), x.at(run.i, run.j) + n * m, xs.data());
            add_products(ws, a, residual.at(run.i, run.j), m, n, sum.data(), m);
            add_products(mw.data(), a, xs.data(), m, n, mass_sum, for_mass);
            add_products(mw.data(), a, ps, pl, n, mass_sum + m, for_mass);
            add_products(mw.data(), a, ws, a, n, mass_sum + m + pl, for_mass);
            add_products(kw.data(), a, ps, pl, n, stiffness_sum, for_stiffness);
            add_products(kw.data(), a, ws, a, n, stiffness_sum + pl, for_stiffness);
        });
    });
    const std::vector<double> sum = in_order(parts);
    return {from_row_major(sum.data(), a, m), from_row_major(sum.data() + size(m), a, for_mass),
            from_row_major(sum.data() + size(m + for_mass), a, for_stiffness)};
}

void combine(const Combination& by, Block<double>& x, const Block<float>& p, Block<float>& w, unsigned threads) {
    const int m = x.lanes(), a = w.lanes();
    const std::vector<double> cx = row_major<double>(by.x);
    const std::vector<float> cp = row_major<float>(by.p), cw = row_major<float>(by.w);
    in_parallel(strips(x.rows()), threads, [&](std::size_t s) {
        std::vector<double> old(static_cast<std::size_t>(chunk * m));
        std::vector<float> y(old.size());
        for_each_run(x.columns(), x.rows(), s, [&](const Run& run) {
            double* const xs = x.at(run.i, run.j);
            float* const ws = w.at(run.i, run.j);
            std::copy(xs, xs + run.count * m, old.data());
            add_combination(ws, a, cw.data(), m, run.count, y.data(), false);
            if (p.lanes() > 0) add_combination(p.at(run.i, run.j), p.lanes(), cp.data(), m, run.count, y.data(), true);
            add_combination(old.data(), m, cx.data(), m, run.count, xs, false);
            for (int k = 0; k < run.count * m; ++k) xs[k] += static_cast<double>(y[static_cast<std::size_t>(k)]);
            for (int n = 0; n < run.count; ++n)
                for (int v = 0; v < a; v += lane)
                    pack(ws + n * a + v) = pack(y.data() + n * m + lane * by.packs[static_cast<std::size_t>(v / lane)]);
        });
    });
}

void rotate(const Eigen::MatrixXd& by, Block<double>& x, unsigned threads) {
    const int m = x.lanes();
    const std::vector<double> c = row_major<double>(by);
    in_parallel(strips(x.rows()), threads, [&](std::size_t s) {
        std::vector<double> old(static_cast<std::size_t>(chunk * m));
        for_each_run(x.columns(), x.rows(), s, [&](const Run& run) {
            double* const xs = x.at(run.i, run.j);
            std::copy(xs, xs + run.count * m, old.data());
            add_combination(old.data(), m, c.data(), m, run.count, xs, false);
        });
    });
}

}  // namespace tymbal

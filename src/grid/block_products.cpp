#include "block_products.h"

#include "lane_kernels.h"

#include "../base/in_parallel.h"

#include <algorithm>
#include <cmath>

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
void scaled_by_mass(const double* mass, const T* __restrict x, int lanes, int count, T* __restrict out) {
    for (int n = 0; n < count; ++n, x += lanes, out += lanes)
        for (int v = 0; v < lanes; ++v) out[v] = static_cast<T>(mass[n]) * x[v];
}

template <class T>
Vectors<T> vectors(const Block<T>& x, const Run& run) {
    return {x.at(run.i, run.j), x.lanes()};
}

/// K x of a run.
template <class T>
void apply(const LatticeFilm& film, const Block<T>& x, const Run& run, T* out) {
    const Stencil<double>& k = film.stiffness;
    apply_run(&k.star[k.at(run.i, run.j)], static_cast<std::ptrdiff_t>(k.stride()), vectors(x, run), x.stride(),
              run.count, out);
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
            add_products(vectors(x, run), {kx.data(), m}, run.count, true, sum.data(), m);
            add_products(vectors(x, run), {mx.data(), m}, run.count, true, sum.data() + square, m);
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
    for (Eigen::MatrixXd* const g : {&out.stiffness, &out.mass}) *g = g->selfadjointView<Eigen::Lower>();
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
            apply(film, w, run, kw.data());
            scaled_by_mass(&film.mass[film.stiffness.at(run.i, run.j)], ws, a, n, mw.data());
            std::copy(x.at(run.i, run.j), x.at(run.i, run.j) + n * m, xs.data());
            const Vectors<float> k{kw.data(), a}, inertia{mw.data(), a}, own = vectors(w, run);
            add_products(own, vectors(residual, run), n, false, sum.data(), m);
            add_products(inertia, {xs.data(), m}, n, false, mass_sum, for_mass);
            add_products(inertia, vectors(p, run), n, false, mass_sum + m, for_mass);
            add_products(inertia, own, n, true, mass_sum + m + pl, for_mass);
            add_products(k, vectors(p, run), n, false, stiffness_sum, for_stiffness);
            add_products(k, own, n, true, stiffness_sum + pl, for_stiffness);
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
            combine_run(Vectors<float>{ws, a}, cw.data(), m, run.count, false, y.data());
            combine_run(vectors(p, run), cp.data(), m, run.count, true, y.data());
            combine_run(Vectors<double>{old.data(), m}, cx.data(), m, run.count, false, xs);
            for (int k = 0; k < run.count * m; ++k) xs[k] += static_cast<double>(y[static_cast<std::size_t>(k)]);
            for (int n = 0; n < run.count; ++n)
                for (int v = 0; v < a; v += lane)
                    std::copy_n(y.data() + n * m + lane * by.packs[static_cast<std::size_t>(v / lane)], lane,
                                ws + n * a + v);
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
            combine_run(Vectors<double>{old.data(), m}, c.data(), m, run.count, false, xs);
        });
    });
}

}  // namespace tymbal

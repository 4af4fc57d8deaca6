#include "plane_cycle.h"

#include "tymbal/base/error.h"

#include "../base/in_parallel.h"
#include "../grid/galerkin.h"

#include <algorithm>
#include <array>
#include <utility>

namespace tymbal {

namespace {

constexpr int strip = 16;            ///< rows that one thread does at a time
constexpr int coarsest_nodes = 150;  ///< a level as small as this is solved directly

std::size_t strips(int rows) {
    return static_cast<std::size_t>((rows + strip - 1) / strip);
}

/// Small levels are not worth a thread.
unsigned worth(unsigned threads, const PlaneMatrix& k) {
    return static_cast<long>(k.columns) * k.rows < 4000 ? 1 : threads;
}

/// Calls work(j) for rows first, first + step, ... on several threads.
template <class RowWork>
void for_rows(int rows, int first, int step, unsigned threads, RowWork work) {
    in_parallel(strips(rows), threads, [&](std::size_t s) {
        const int from = static_cast<int>(s) * strip;
        for (int j = from + first; j < std::min(from + strip, rows); j += step) work(j);
    });
}

struct Pair {
    double x = 0.0, y = 0.0;
};
void subtract(Pair& r, const Square& k, const double* u) {
    r.x -= k.xx * u[0] + k.xy * u[1];
    r.y -= k.yx * u[0] + k.yy * u[1];
}
void subtract_transposed(Pair& r, const Square& k, const double* u) {
    r.x -= k.xx * u[0] + k.yx * u[1];
    r.y -= k.xy * u[0] + k.yy * u[1];
}

/// b - K u at a node without its own part.
Pair pull_of_neighbours(const HalfStar<Square>* s, std::ptrdiff_t stride, const double* b, const double* u) {
    const std::ptrdiff_t row = 2 * stride;
    Pair r{b[0], b[1]};
    subtract(r, s->east, u + 2);
    subtract_transposed(r, s[-1].east, u - 2);
    subtract(r, s->north, u + row);
    subtract_transposed(r, s[-stride].north, u - row);
    subtract(r, s->north_east, u + row + 2);
    subtract_transposed(r, s[-stride - 1].north_east, u - row - 2);
    subtract(r, s->north_west, u + row - 2);
    subtract_transposed(r, s[-stride + 1].north_west, u - row + 2);
    return r;
}

/// One row of one colour.
void relax_colour(const PlaneMatrix& k, const Displacement& b, Displacement& u, int j, int first) {
    const auto stride = static_cast<std::ptrdiff_t>(k.stride());
    for (int i = first; i < k.columns; i += 2) {
        const HalfStar<Square>* const s = &k.star[k.at(i, j)];
        const Square& c = s->centre;
        const double determinant = c.xx * c.yy - c.xy * c.yx;
        if (determinant <= 0.0) continue;
        double* const here = u.at(i, j);
        const Pair r = pull_of_neighbours(s, stride, b.at(i, j), here);
        here[0] = (c.yy * r.x - c.xy * r.y) / determinant;
        here[1] = (c.xx * r.y - c.yx * r.x) / determinant;
    }
}

void smooth(const PlaneMatrix& k, const Displacement& b, Displacement& u, bool rising, unsigned threads) {
    for (const int first : {0, 1}) {
        const int parity = rising ? first : 1 - first;
        for_rows(k.rows, parity, 2, threads, [&](int j) {
            relax_colour(k, b, u, j, rising ? 0 : 1);
            relax_colour(k, b, u, j, rising ? 1 : 0);
        });
    }
}

Pair residual_at(const PlaneMatrix& k, const Displacement& b, const Displacement& u, int i, int j) {
    const HalfStar<Square>* const s = &k.star[k.at(i, j)];
    const double* const here = u.at(i, j);
    Pair r = pull_of_neighbours(s, static_cast<std::ptrdiff_t>(k.stride()), b.at(i, j), here);
    subtract(r, s->centre, here);
    return r;
}

/// One fine row of b - K u, restricted along x and added to a coarse row.
void add_residual_row(const PlaneMatrix& k, const Displacement& b, const Displacement& u, int j, double weight,
                      double* out) {
    const int coarse = coarse_count(k.columns);
    for (int i = 0; i < k.columns; ++i) {
        const Pair r = residual_at(k, b, u, i, j);
        const double part = i % 2 == 1 ? weight : 0.5 * weight;
        const int right = i / 2;
        if (right < coarse) {
            out[2 * right] += part * r.x;
            out[2 * right + 1] += part * r.y;
        }
        if (i % 2 == 0 && right > 0) {
            out[2 * right - 2] += part * r.x;
            out[2 * right - 1] += part * r.y;
        }
    }
}

void restrict_residual(const PlaneMatrix& k, const Displacement& b, const Displacement& u, Displacement& coarse,
                       unsigned threads) {
    in_parallel(strips(coarse.rows()), threads, [&](std::size_t s) {
        const int from = static_cast<int>(s) * strip;
        const std::ptrdiff_t size = 2 * static_cast<std::ptrdiff_t>(coarse.columns());
        std::vector<double> shared(static_cast<std::size_t>(size));
        add_residual_row(k, b, u, 2 * from, 0.5, shared.data());
        for (int j = from; j < std::min(from + strip, coarse.rows()); ++j) {
            double* const out = coarse.at(0, j);
            std::copy(shared.begin(), shared.end(), out);
            add_residual_row(k, b, u, 2 * j + 1, 1.0, out);
            if (2 * j + 2 >= k.rows) break;
            std::fill(shared.begin(), shared.end(), 0.0);
            add_residual_row(k, b, u, 2 * j + 2, 0.5, shared.data());
            for (std::ptrdiff_t n = 0; n < size; ++n) out[n] += shared[static_cast<std::size_t>(n)];
        }
    });
}

/// u += interpolation of the coarser displacement.
void interpolate(const PlaneMatrix& k, const Displacement& coarse, Displacement& u, unsigned threads) {
    for_rows(k.rows, 0, 1, threads, [&](int j) {
        const int low = j % 2 == 1 ? j / 2 : j / 2 - 1;
        const std::ptrdiff_t up = j % 2 == 1 ? 0 : coarse.stride();
        for (int i = 0; i < k.columns; ++i) {
            if (k.star[k.at(i, j)].centre.xx == 0.0) continue;
            const std::ptrdiff_t right = i % 2 == 1 ? 0 : 2;
            const double* const c = coarse.at(i % 2 == 1 ? i / 2 : i / 2 - 1, low);
            double* const out = u.at(i, j);
            for (int v = 0; v < 2; ++v) out[v] += 0.25 * (c[v] + c[v + right] + c[v + up] + c[v + up + right]);
        }
    });
}

void add_block(std::vector<Eigen::Triplet<double>>& out, int a, int b, const Square& k) {
    out.emplace_back(2 * a, 2 * b, k.xx);
    out.emplace_back(2 * a, 2 * b + 1, k.xy);
    out.emplace_back(2 * a + 1, 2 * b, k.yx);
    out.emplace_back(2 * a + 1, 2 * b + 1, k.yy);
}

}  // namespace

void plane_residual(const PlaneMatrix& k, const Displacement& b, const Displacement& u, Displacement& r,
                    unsigned threads) {
    for_rows(k.rows, 0, 1, threads, [&](int j) {
        for (int i = 0; i < k.columns; ++i) {
            const Pair p = residual_at(k, b, u, i, j);
            r.at(i, j)[0] = p.x;
            r.at(i, j)[1] = p.y;
        }
    });
}

double plane_product(const PlaneMatrix& k, const Displacement& u, Displacement& v, unsigned threads) {
    std::vector<double> part(static_cast<std::size_t>(k.rows));
    const std::array<double, 2> nothing{};
    for_rows(k.rows, 0, 1, threads, [&](int j) {
        double sum = 0.0;
        for (int i = 0; i < k.columns; ++i) {
            const HalfStar<Square>* const s = &k.star[k.at(i, j)];
            const double* const here = u.at(i, j);
            Pair r = pull_of_neighbours(s, static_cast<std::ptrdiff_t>(k.stride()), nothing.data(), here);
            subtract(r, s->centre, here);
            v.at(i, j)[0] = -r.x;
            v.at(i, j)[1] = -r.y;
            sum -= here[0] * r.x + here[1] * r.y;
        }
        part[static_cast<std::size_t>(j)] = sum;
    });
    double all = 0.0;
    for (const double p : part) all += p;
    return all;
}

PlaneCycle::PlaneCycle(const PlaneMatrix& fine, unsigned threads) : fine_(fine), threads_(threads) {
    for (;;) {
        const PlaneMatrix& last = level(coarse_.size());
        if (last.columns * last.rows <= coarsest_nodes || std::min(last.columns, last.rows) < 4) break;
        coarse_.push_back(galerkin(last, worth(threads, last)));
        b_.emplace_back(coarse_.back().columns, coarse_.back().rows, 2);
        u_.emplace_back(coarse_.back().columns, coarse_.back().rows, 2);
    }
    if (!u_.empty()) u_.back().clear();  // its nodes without film are never written
    factor_coarsest();
}

void PlaneCycle::factor_coarsest() {
    const PlaneMatrix& k = level(coarse_.size());
    std::vector<int> number(k.star.size(), -1);
    for (std::size_t n = 0; n < k.star.size(); ++n) {
        if (k.star[n].centre.xx == 0.0) continue;
        number[n] = static_cast<int>(place_.size());
        place_.push_back(n);
    }
    std::vector<Eigen::Triplet<double>> entries;
    for (const std::size_t n : place_) {
        const HalfStar<Square>& s = k.star[n];
        add_block(entries, number[n], number[n], s.centre);
        const auto link = [&](std::size_t to, const Square& w) {
            if (number[to] < 0) return;
            add_block(entries, number[n], number[to], w);
            add_block(entries, number[to], number[n], transposed(w));
        };
        link(n + 1, s.east);
        link(n + k.stride(), s.north);
        link(n + k.stride() + 1, s.north_east);
        link(n + k.stride() - 1, s.north_west);
    }
    const auto size = static_cast<Eigen::Index>(2 * place_.size());
    SparseMatrix matrix(size, size);
    matrix.setFromTriplets(entries.begin(), entries.end());
    coarsest_.compute(matrix);
    if (coarsest_.info() != Eigen::Success || (coarsest_.vectorD().array() <= 0.0).any())
        throw NoAnswer(
            "the in-plane stiffness of the film cannot be factored; the holes leave no film to hold it; use smaller "
            "holes or a larger pitch");
}

void PlaneCycle::solve(const Displacement& b, Displacement& u) {
    cycle(0, b, u);
}

void PlaneCycle::cycle(std::size_t at, const Displacement& b, Displacement& u) {
    const PlaneMatrix& k = level(at);
    if (at == coarse_.size()) {
        Vector load(static_cast<Eigen::Index>(2 * place_.size()));
        const double* const from = b.at(-1, -1);
        double* const to = u.at(-1, -1);
        for (std::size_t n = 0; n < place_.size(); ++n)
            for (std::size_t v = 0; v < 2; ++v) load[static_cast<Eigen::Index>(2 * n + v)] = from[2 * place_[n] + v];
        const Vector answer = coarsest_.solve(load);
        for (std::size_t n = 0; n < place_.size(); ++n)
            for (std::size_t v = 0; v < 2; ++v) to[2 * place_[n] + v] = answer[static_cast<Eigen::Index>(2 * n + v)];
        return;
    }
    const unsigned threads = worth(threads_, k);
    for_rows(k.rows, 0, 1, threads, [&](int j) { std::fill(u.at(0, j), u.at(k.columns, j), 0.0); });
    smooth(k, b, u, true, threads);
    restrict_residual(k, b, u, b_[at], threads);
    cycle(at + 1, b_[at], u_[at]);
    interpolate(k, u_[at], u, threads);
    smooth(k, b, u, false, threads);
}

std::size_t PlaneCycle::bytes() const {
    std::size_t sum = 0;
    for (std::size_t k = 0; k < coarse_.size(); ++k)
        sum += coarse_[k].star.size() * sizeof(HalfStar<Square>) + b_[k].bytes() + u_[k].bytes();
    return sum;
}

}  // namespace tymbal

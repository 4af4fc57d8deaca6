// The stiffness a coarser lattice sees: P' K P with bilinear interpolation P, one direction after the other.
#pragma once

#include "tymbal/grid/stencil.h"

#include "../base/in_parallel.h"

#include <algorithm>
#include <utility>
#include <vector>

namespace tymbal {

/// Coarse node I sits on fine node 2 I + 1, so that a rim on a grid line stays on one as long as the cells are even in
/// number; a lattice of odd cells ends on a node nearer to the rim.
[[nodiscard]] inline int coarse_count(int fine) {
    return fine / 2;
}

[[nodiscard]] inline double transposed(double w) {
    return w;
}

/// Row j of the fine matrix after coarsening along x. a, b, c: fine nodes 2 I, 2 I + 1, 2 I + 2.
template <class Weight>
void coarsen_row(const Stencil<Weight>& fine, int j, std::vector<HalfStar<Weight>>& row) {
    const int count = coarse_count(fine.columns);
    for (int k = 0; k < count; ++k) {
        const HalfStar<Weight>* const star = &fine.star[fine.at(2 * k, j)];
        const HalfStar<Weight>&a = star[0], &b = star[1], &c = star[2];
        HalfStar<Weight>& out = row[static_cast<std::size_t>(k + 1)];
        out.centre =
            0.25 * (a.centre + c.centre) + b.centre + 0.5 * (a.east + transposed(a.east) + b.east + transposed(b.east));
        out.east = 0.5 * (b.east + c.east) + 0.25 * c.centre;
        out.north =
            0.25 * (a.north + c.north) + b.north + 0.5 * (a.north_east + b.north_west + b.north_east + c.north_west);
        out.north_east = 0.5 * (b.north_east + c.north_east) + 0.25 * c.north;
        out.north_west = 0.5 * (a.north_west + b.north_west) + 0.25 * a.north;
    }
}

/// Rows a, b, c: fine rows 2 J, 2 J + 1, 2 J + 2 after coarsening along x.
template <class Weight>
HalfStar<Weight> join_rows(const std::vector<HalfStar<Weight>>& a, const std::vector<HalfStar<Weight>>& b,
                           const std::vector<HalfStar<Weight>>& c, std::size_t k) {
    HalfStar<Weight> out;
    out.centre = 0.25 * (a[k].centre + c[k].centre) + b[k].centre +
                 0.5 * (a[k].north + transposed(a[k].north) + b[k].north + transposed(b[k].north));
    out.east =
        0.25 * (a[k].east + c[k].east) + b[k].east +
        0.5 * (a[k].north_east + transposed(a[k + 1].north_west) + b[k].north_east + transposed(b[k + 1].north_west));
    out.north = 0.5 * (b[k].north + c[k].north) + 0.25 * c[k].centre;
    out.north_east = 0.5 * (b[k].north_east + c[k].north_east) + 0.25 * c[k].east;
    out.north_west = 0.5 * (b[k].north_west + c[k].north_west) + 0.25 * transposed(c[k - 1].east);
    return out;
}

template <class Weight>
[[nodiscard]] Stencil<Weight> galerkin(const Stencil<Weight>& fine, unsigned threads) {
    Stencil<Weight> coarse(coarse_count(fine.columns), coarse_count(fine.rows));
    constexpr int strip = 16;
    const auto strips = static_cast<std::size_t>((coarse.rows + strip - 1) / strip);
    in_parallel(strips, threads, [&](std::size_t s) {
        std::vector<HalfStar<Weight>> a(coarse.stride()), b(coarse.stride()), c(coarse.stride());
        const int from = static_cast<int>(s) * strip;
        coarsen_row(fine, 2 * from, c);
        for (int j = from; j < std::min(from + strip, coarse.rows); ++j) {
            std::swap(a, c);
            coarsen_row(fine, 2 * j + 1, b);
            coarsen_row(fine, 2 * j + 2, c);
            for (int i = 0; i < coarse.columns; ++i)
                coarse.star[coarse.at(i, j)] = join_rows(a, b, c, static_cast<std::size_t>(i + 1));
        }
    });
    return coarse;
}

/// Lumped mass of the coarser lattice: each fine node's mass shared among the nodes that interpolate it.
[[nodiscard]] inline PageVector<double> coarse_mass(const Stencil<double>& fine, const PageVector<double>& mass,
                                                    const Stencil<double>& coarse) {
    PageVector<double> out(coarse.star.size(), 0.0);
    for (int j = 0; j < coarse.rows; ++j)
        for (int i = 0; i < coarse.columns; ++i) {
            double sum = 0.0;
            for (int b = -1; b <= 1; ++b)
                for (int a = -1; a <= 1; ++a)
                    sum += (a == 0 ? 1.0 : 0.5) * (b == 0 ? 1.0 : 0.5) * mass[fine.at(2 * i + 1 + a, 2 * j + 1 + b)];
            out[coarse.at(i, j)] = sum;
        }
    return out;
}

}  // namespace tymbal

// Independent references for the tests: clamped films under tension whose frequencies are roots of transcendental
// equations (disc, ring) or of a rapidly converging Ritz series (rectangle). Nothing here uses a grid.
#pragma once

#include <vector>

namespace tymbal::exact {

/// Uniform film: equation bending lap^2 w - tension lap w = areal_density omega^2 w, w = dw/dn = 0 on the rim.
struct Film {
    double tension = 0.0;        ///< N/m, >= 0
    double bending = 1.0;        ///< N m, > 0
    double areal_density = 1.0;  ///< kg/m^2
};

/// Lowest `count` values of omega, rad/s, rising; a pair of angular modes counts twice.
///
/// a J_{m+1}(a)/J_m(a) + b I_{m+1}(b)/I_m(b) = 0, b^2 - a^2 = N R^2/D: Wah, J. Acoust. Soc. Am. 34, 275 (1962), from
/// memory, re-derived. Accuracy: that of the root, about 1e-13.
[[nodiscard]] std::vector<double> disc(const Film& film, double radius, int count);

/// The same for a ring clamped on both rims: zeros of the 4 x 4 determinant of J, Y, I, K and their slopes, derived.
[[nodiscard]] std::vector<double> ring(const Film& film, double outer_radius, double inner_radius, int count);

/// Rectangle: Ritz series of products of the exact clamped tensioned-beam eigenfunctions
/// cos(ax)/cos(a/2) - cosh(bx)/cosh(b/2) and their odd sisters, b^2 - a^2 = N L^2/D [derived]. They hold the layer at
/// the rim, so that only the term 2 D w_xx w_yy couples them. Values are upper bounds.
/// @param beams  functions of each symmetry along each side
[[nodiscard]] std::vector<double> rectangle(const Film& film, double width, double height, int count, int beams = 12);

/// Zero number s (from 1) of J_m(kb) Y_m(ka) - J_m(ka) Y_m(kb) as ka, for b/a = `ratio`: annular membrane.
[[nodiscard]] double annulus_zero(double ratio, int m, int s);

/// Share of the bending energy in the total elastic energy of mode k (from 0), d ln(omega^2)/d ln(bending), by a
/// central difference of `omegas(film)`.
template <class Omegas>
[[nodiscard]] double bending_share(Film film, Omegas omegas, std::size_t k);

}  // namespace tymbal::exact

#include <cmath>

template <class Omegas>
double tymbal::exact::bending_share(Film film, Omegas omegas, std::size_t k) {
    constexpr double step = 1e-4;
    const double bending = film.bending;
    film.bending = bending * std::exp(step);
    const double above = omegas(film)[k];
    film.bending = bending * std::exp(-step);
    const double below = omegas(film)[k];
    return std::log(above / below) / step;
}

#include "tymbal/optomechanics/slab.h"

#include "tymbal/base/constants.h"

#include <algorithm>
#include <cmath>
#include <iterator>

namespace tymbal {

// r = (n^2-1) sin(b)/[2 i n cos(b) + (n^2+1) sin(b)], t = 2 n/[2 n cos(b) - i (n^2+1) sin(b)], b = n k d.
// Source: Jayich et al., New J. Phys. 10, 095008 (2008), doi 10.1088/1367-2630/10/9/095008 (formula from memory; R + T
// = 1 for real n is tested).
SlabResponse slab(std::complex<double> n, double thickness_m, double wavelength_m) {
    const std::complex<double> i(0.0, 1.0);
    const std::complex<double> b = n * (2.0 * constants::pi / wavelength_m * thickness_m);
    const std::complex<double> n2 = n * n;
    SlabResponse out;
    out.r = (n2 - 1.0) * std::sin(b) / (2.0 * i * n * std::cos(b) + (n2 + 1.0) * std::sin(b));
    out.t = 2.0 * n / (2.0 * n * std::cos(b) - i * (n2 + 1.0) * std::sin(b));
    out.reflectivity = std::norm(out.r);
    out.transmission = std::norm(out.t);
    out.absorption = 1.0 - out.reflectivity - out.transmission;
    return out;
}

namespace {

/// Straight between the points, constant beyond the outermost ones.
IndexAt between_points(const Dispersion& d, double um) {
    const auto& p = d.points;
    const bool inside = um >= p.front().um && um <= p.back().um;
    const auto next = std::find_if(p.begin(), p.end(), [&](const Dispersion::Point& q) { return q.um >= um; });
    if (next == p.begin()) return {p.front().n, d.deviation, inside, p.front().extinction};
    if (next == p.end()) return {p.back().n, d.deviation, inside, p.back().extinction};
    const Dispersion::Point &a = *std::prev(next), &b = *next;
    const double share = (um - a.um) / (b.um - a.um);
    return {a.n + share * (b.n - a.n), d.deviation, inside, a.extinction + share * (b.extinction - a.extinction)};
}

}  // namespace

IndexAt index_at(const Dispersion& d, double wavelength_m) {
    if (!d.points.empty()) return between_points(d, wavelength_m * 1e6);
    if (d.terms.empty()) return {d.constant, d.deviation, true};
    const double l2 = std::pow(wavelength_m * 1e6, 2);
    double n2 = 1.0;
    for (const Dispersion::Term& term : d.terms)
        n2 += term.strength * l2 / (l2 - term.resonance_um * term.resonance_um);
    const double um = wavelength_m * 1e6;
    return {std::sqrt(std::max(1.0, n2)), d.deviation, um >= d.from_um && um <= d.to_um};
}

std::complex<double> perforated_index(std::complex<double> solid, double open) {
    // Two-dimensional Maxwell Garnett, field in the plane of the film: (e - es)/(e + es) = open (1 - es)/(1 + es).
    const std::complex<double> es = solid * solid;
    const std::complex<double> share = open * (1.0 - es) / (1.0 + es);
    return std::sqrt(es * (1.0 + share) / (1.0 - share));
}

}  // namespace tymbal

#include "tymbal/readout/refractive_index.h"

#include <algorithm>
#include <cmath>
#include <iterator>

namespace tymbal {

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

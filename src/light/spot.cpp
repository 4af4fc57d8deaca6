// A ray at the polar angle theta carries exp(-2 s^2) s ds of the power, s = sin theta/theta_d, theta_d = lambda/(pi
// w0). With r_s, r_p in the plane of incidence at the azimuth phi, an unpolarised beam returns the power (|r_s|^2 +
// |r_p|^2)/2 and, in its own mode, the amplitude (r_s + r_p)/2. In mirror planes s and p do not mix; the mean over the
// azimuth is taken over those, which is exact up to the harmonic that the next plane would tell. The fits run over s,
// as lines cross the beam.
#include "tymbal/light/spot.h"

#include "rational_fit.h"
#include "scaled.h"

#include "tymbal/base/constants.h"
#include "tymbal/base/error.h"

#include <cmath>

namespace tymbal {

namespace {

using namespace fourier;

constexpr double usual_reach = 4.5;  // of orders: rays have half the symmetry that normal incidence has
constexpr double widest_ray = 2.6;   // s; beyond lies exp(-2 s^2) = 1.3e-6 of the power
constexpr double fit_tolerance = 1e-5;
constexpr int most_samples = 60;

/// Azimuths of mirror planes that stand for all.
std::vector<double> planes(const HoleLattice& holes) {
    const double quarter = 0.5 * constants::pi;
    if (!alike_along_and_across(holes)) return {0.0, quarter};
    return {0.0, holes.lattice == Lattice::square ? 0.5 * quarter : quarter / 3.0};
}

struct Plane {
    CellMatrices s, p;
};

std::vector<Plane> expand_planes(const HoleLattice& holes, double reach) {
    std::vector<Plane> out;
    for (const double azimuth : planes(holes)) {
        const Cell cell = turned(scaled_cell(holes), -azimuth);
        out.push_back({expand(cell, reach, {0, -1}), expand(cell, reach, {0, 1})});
    }
    return out;
}

std::vector<Complex> rays(const std::vector<Plane>& planes, const Layers& film, const Light& light) {
    std::vector<Complex> out;
    for (const Plane& plane : planes) {
        out.push_back(scatter(plane.s, film, light, FieldAlong::y).r[incident(plane.s, FieldAlong::y)]);
        out.push_back(scatter(plane.p, film, light, FieldAlong::x).r[incident(plane.p, FieldAlong::x)]);
    }
    return out;
}

SpotResponse average(const AdaptiveFit& fit) {
    constexpr int steps = 4000;  // fits cost nothing, and lines are narrow
    const double width = widest_ray / steps;
    double power = 0.0, weights = 0.0;
    Complex amplitude = 0.0;
    for (int k = 0; k < steps; ++k) {
        const double s = (k + 0.5) * width, weight = std::exp(-2.0 * s * s) * s;
        weights += weight;
        for (const RationalFit& f : fit.fits) {
            const Complex r = f(s);
            power += weight * std::norm(r);
            amplitude += weight * r;
        }
    }
    const double all = weights * static_cast<double>(fit.fits.size());
    return {power / all, std::norm(amplitude / all)};
}

}  // namespace

SpotResponse respond_to_spot(const HoleLattice& holes, const LayeredFilm& film, double wavelength_m, double waist_m) {
    constexpr double narrowest = 2.0;  // wavelengths
    if (!(waist_m >= narrowest * wavelength_m))
        throw NoAnswer("a spot of less than two wavelengths is no Gaussian beam; light on it is not computed");
    const Truncation reach = beyond_running({usual_reach, usual_reach}, holes.pitch_m / wavelength_m);
    const std::vector<Plane> all = expand_planes(holes, reach.fine);
    const Layers layers = scaled_layers(film, holes.pitch_m);
    const double k0 = 2.0 * constants::pi * holes.pitch_m / wavelength_m;
    const double spread = wavelength_m / (constants::pi * waist_m);
    const auto sampler = [&](double s) { return rays(all, layers, {k0, k0 * s * spread}); };
    return average(fit_adaptively(sampler, {0.0, widest_ray, fit_tolerance, most_samples}));
}

}  // namespace tymbal

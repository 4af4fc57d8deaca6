// w0^4 = (lambda L/pi)^2 g1 g2 (1 - g1 g2)/(g1 + g2 - 2 g1 g2)^2 at z1 = L g2 (1 - g1)/(g1 + g2 - 2 g1 g2) from the
// input mirror, and w(z) = w0 sqrt(1 + (lambda z/(pi w0^2))^2) from there. Source: Kogelnik and Li, Appl. Opt. 5, 1550
// (1966) (from memory).
#include "tymbal/cavity/mirrors.h"

#include "tymbal/base/constants.h"

#include <cmath>

namespace tymbal {

namespace {

double g_of(double length, const std::optional<double>& radius) {
    return radius ? 1.0 - length / *radius : 1.0;
}

}  // namespace

double stability(const Resonator& r) {
    return g_of(r.length_m, r.input_radius_m) * g_of(r.length_m, r.end_radius_m);
}

std::optional<double> spot_radius_m(const Resonator& r, double wavelength_m, double from_input_m) {
    const double g1 = g_of(r.length_m, r.input_radius_m), g2 = g_of(r.length_m, r.end_radius_m);
    const double unit = wavelength_m * r.length_m / constants::pi;
    double waist2 = 0.0, waist_at = 0.5 * r.length_m;
    if (g1 == g2 && g1 > -1.0 && g1 < 1.0) {  // the general form is 0/0 at the confocal one
        waist2 = 0.5 * unit * std::sqrt((1.0 + g1) / (1.0 - g1));
    } else {
        const double product = g1 * g2, sum = g1 + g2 - 2.0 * product;
        if (!(product > 0.0 && product < 1.0)) return std::nullopt;
        waist2 = unit * std::sqrt(product * (1.0 - product)) / std::abs(sum);
        waist_at = r.length_m * g2 * (1.0 - g1) / sum;
    }
    const double spread = wavelength_m * (from_input_m - waist_at) / (constants::pi * waist2);
    return std::sqrt(waist2 * (1.0 + spread * spread));
}

}  // namespace tymbal

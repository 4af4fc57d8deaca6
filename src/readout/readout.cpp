#include "tymbal/readout/readout.h"

#include "tymbal/base/constants.h"

#include <algorithm>
#include <cmath>

namespace tymbal {

namespace {

using constants::pi;
constexpr double on_a_node = 1e-6;  // overlap below which a mode has no mass at the spot

/// Integral of the normalised Gaussian weight and of its first moment over one cell, along one axis: with z measured in
/// radii over sqrt 2 from the centre, weight = exp(-z^2)/sqrt(pi).
struct Slice {
    double at_low = 0.0;  ///< weight of the value at the cell's low end when the function is linear across it
    double at_high = 0.0;
};

Slice strip(double low, double high, double centre, double radius) {
    const double scale = std::sqrt(2.0) / radius;
    const double a = (low - centre) * scale, b = (high - centre) * scale;
    const double total = 0.5 * (std::erf(b) - std::erf(a));
    const double moment = (std::exp(-a * a) - std::exp(-b * b)) / (2.0 * std::sqrt(pi));  // int z weight dz
    const double high_share = (moment - a * total) / (b - a);
    return {total - high_share, high_share};
}

std::vector<Slice> strips(int points, double first, double spacing, double centre, double radius) {
    std::vector<Slice> all;
    for (int k = 0; k + 1 < points; ++k)
        all.push_back(strip(first + k * spacing, first + (k + 1) * spacing, centre, radius));
    return all;
}

}  // namespace

double spot_mean(const ShapeRaster& shape, Point centre, double radius) {
    const auto along_x = strips(shape.columns, shape.x0, shape.dx, centre.x, radius);
    const auto along_y = strips(shape.rows, shape.y0, shape.dy, centre.y, radius);
    const auto at = [&](std::size_t i, std::size_t j) {
        return shape.w[i + static_cast<std::size_t>(shape.columns) * j];
    };
    double sum = 0.0;
    for (std::size_t j = 0; j < along_y.size(); ++j) {
        for (std::size_t i = 0; i < along_x.size(); ++i) {
            const Slice &x = along_x[i], &y = along_y[j];
            sum += y.at_low * (x.at_low * at(i, j) + x.at_high * at(i + 1, j)) +
                   y.at_high * (x.at_low * at(i, j + 1) + x.at_high * at(i + 1, j + 1));
        }
    }
    return sum;
}

ModeFigures see(const Mode& mode, const LossBudget& budget, double temperature_k, const std::optional<Readout>& readout,
                const std::optional<CavityCoupling>& cavity) {
    const double f = mode.frequency_hz, omega = 2.0 * pi * f, q = budget.total.value, mass = mode.integrals.mass;
    const double thermal = constants::boltzmann_j_per_k * temperature_k;
    ModeFigures out;
    out.effective_mass_kg = mass;
    out.effective_mass_error_kg = mode.integrals.mass_error;
    out.spring_constant_n_per_m = omega * omega * mass;
    out.zero_point_m = std::sqrt(constants::hbar_j_s / (2.0 * mass * omega));
    out.thermal_occupancy = thermal / (constants::hbar_j_s * omega);
    out.linewidth_hz = f / q;
    out.qf_hz = q * f;
    out.qf_over_thermal = out.qf_hz * constants::planck_j_s / thermal;
    out.thermal_force_noise_n_per_rthz = std::sqrt(4.0 * thermal * mass * omega / q);
    if (!readout) return out;
    const double overlap = spot_mean(mode.shape, readout->position, readout->spot_radius.si());
    out.spot_overlap = overlap;
    if (std::abs(overlap) > on_a_node) out.effective_mass_at_spot_kg = mass / (overlap * overlap);
    if (!cavity) return out;
    // g0 = |d omega/dx| x_zpf, averaged over the cavity's spot. Source: Aspelmeyer et al., Rev. Mod. Phys. 86, 1391
    // (2014) (from memory).
    const double under_light = spot_mean(mode.shape, readout->position, cavity->waist_m);
    const bool met = std::abs(under_light) > on_a_node;
    const double g0_hz = met ? cavity->hz_per_m * out.zero_point_m * std::abs(under_light) : 0.0;
    out.single_photon_coupling_hz = g0_hz;
    out.single_photon_cooperativity = 4.0 * g0_hz * g0_hz / (cavity->kappa_hz * out.linewidth_hz);
    return out;
}

}  // namespace tymbal

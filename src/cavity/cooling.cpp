// With g^2 = g0^2 n_cav, Delta the laser less the cavity, Omega the mode, all as angular frequencies:
//     A-+ = g^2 kappa/(kappa^2/4 + (Delta +- Omega)^2),  Gamma_opt = A- - A+,
//     dOmega = g^2 [(Delta + Omega)/(kappa^2/4 + (Delta + Omega)^2) + (Delta - Omega)/(kappa^2/4 + (Delta - Omega)^2)],
//     n_f = (A+ + Gamma_m n_th)/(Gamma_opt + Gamma_m).
// Every rate is of the first degree in frequencies, so that the same formulas hold with all of them over 2 pi, in Hz.
// Sources: Marquardt et al., Phys. Rev. Lett. 99, 093902 (2007); Wilson-Rae et al., Phys. Rev. Lett. 99, 093901 (2007);
// Aspelmeyer et al., Rev. Mod. Phys. 86, 1391 (2014) (all from memory).
#include "tymbal/cavity/cooling.h"

#include "tymbal/base/constants.h"

#include <algorithm>
#include <cmath>
#include <limits>
#include <vector>

namespace tymbal {

namespace {

constexpr double two_pi = 2.0 * constants::pi;

double lorentzian(double kappa, double away) {
    return 0.25 * kappa * kappa + away * away;
}

double photon_rate_hz(const CavityLine& line, double power_w) {  // over 2 pi
    return power_w * line.wavelength_m / (constants::planck_j_s * constants::light_speed_m_per_s) / two_pi;
}

/// Magnitudes among which the best detunings lie, rising: both scales of the problem with room on either side, evenly
/// in their logarithm, and the sideband, which may be far narrower than that.
std::vector<double> detunings(const CavityLine& line, const CoupledMode& mode) {
    constexpr int coarse = 120, fine = 20;
    constexpr double widths = 3.0;  // of the cavity, on either side of the sideband
    const double low = 1e-3 * std::min(line.kappa_hz, mode.frequency_hz);
    const double high = 1e3 * std::max(line.kappa_hz, mode.frequency_hz);
    std::vector<double> all;
    for (int k = 0; k <= coarse; ++k) all.push_back(low * std::pow(high / low, static_cast<double>(k) / coarse));
    for (int k = -fine; k <= fine; ++k) all.push_back(mode.frequency_hz + widths * line.kappa_hz * k / fine);
    all.erase(std::remove_if(all.begin(), all.end(), [&](double d) { return d < low; }), all.end());
    std::sort(all.begin(), all.end());
    return all;
}

/// Lowest value of f over magnitudes, refined between its neighbours by golden sections.
template <class F>
double lowest_at(const F& f, const std::vector<double>& magnitudes) {
    constexpr int refinements = 45;
    constexpr double golden = 0.6180339887498949;
    std::vector<double> values;
    for (const double magnitude : magnitudes) values.push_back(f(magnitude));
    const auto best = static_cast<std::size_t>(std::min_element(values.begin(), values.end()) - values.begin());
    double a = magnitudes[best == 0 ? 0 : best - 1], b = magnitudes[std::min(best + 1, magnitudes.size() - 1)];
    double least = values[best], at = magnitudes[best];
    const auto look = [&](double magnitude) {  // the least may lie at the edge of where f is finite
        const double value = f(magnitude);
        if (value < least) {
            least = value;
            at = magnitude;
        }
        return value;
    };
    for (int k = 0; k < refinements; ++k) {
        const double left = b - golden * (b - a), right = a + golden * (b - a);
        const bool lower = look(left) < look(right);
        (lower ? b : a) = lower ? right : left;
    }
    return at;
}

}  // namespace

double photons(const CavityLine& line, const CavityDrive& drive) {
    return photon_rate_hz(line, drive.power_w) * line.kappa_input_hz / lorentzian(line.kappa_hz, drive.detuning_hz);
}

double power_for_photons_w(const CavityLine& line, double detuning_hz, double wanted) {
    return wanted / photons(line, {1.0, detuning_hz});
}

double single_photon_cooperativity(const CavityLine& line, const CoupledMode& mode) {
    return 4.0 * mode.g0_hz * mode.g0_hz / (line.kappa_hz * mode.linewidth_hz);
}

OpticalForce optical_force(const CavityLine& line, const CoupledMode& mode, const CavityDrive& drive) {
    const double g2 = mode.g0_hz * mode.g0_hz * photons(line, drive);
    const double above = drive.detuning_hz + mode.frequency_hz, below = drive.detuning_hz - mode.frequency_hz;
    const double cooling = g2 * line.kappa_hz / lorentzian(line.kappa_hz, above);
    const double heating = g2 * line.kappa_hz / lorentzian(line.kappa_hz, below);
    const double spring = g2 * (above / lorentzian(line.kappa_hz, above) + below / lorentzian(line.kappa_hz, below));
    return {spring, cooling - heating, heating};
}

std::optional<double> final_occupancy(const CavityLine& line, const CoupledMode& mode, const CavityDrive& drive) {
    const OpticalForce light = optical_force(line, mode, drive);
    const double width = light.damping_hz + mode.linewidth_hz;
    if (!(width > 0.0) || !(mode.frequency_hz + 2.0 * light.spring_hz > 0.0)) return std::nullopt;
    return (light.heating_hz + mode.linewidth_hz * mode.thermal_occupancy) / width;
}

std::optional<BestDetuning> best_detuning(const CavityLine& line, const CoupledMode& mode, double power_w) {
    if (!(mode.g0_hz > 0.0)) return std::nullopt;
    const auto occupancy = [&](double magnitude) {
        return final_occupancy(line, mode, {power_w, -magnitude}).value_or(std::numeric_limits<double>::infinity());
    };
    const double magnitude = lowest_at(occupancy, detunings(line, mode));
    const double least = occupancy(magnitude);
    constexpr double cools = 1.0 - 1e-9;  // less is rounding: the least would lie wherever the search ends
    if (!(least < cools * mode.thermal_occupancy)) return std::nullopt;
    return BestDetuning{-magnitude, least};
}

double back_action_limit(const CavityLine& line, const CoupledMode& mode) {
    const double width = 0.5 * line.kappa_hz / mode.frequency_hz, squared = width * width;
    return 0.5 * squared / (std::sqrt(1.0 + squared) + 1.0);  // (sqrt(1 + w^2) - 1)/2 without a difference
}

double back_action_quanta(const CavityLine& line, const CoupledMode& mode, double power_w) {
    const double sideband = 2.0 * mode.frequency_hz / line.kappa_hz;
    return single_photon_cooperativity(line, mode) * photons(line, {power_w, 0.0}) / (1.0 + sideband * sideband);
}

std::optional<double> feedback_limit(const CavityLine& line, const CoupledMode& mode, double power_w) {
    const double quanta = back_action_quanta(line, mode, power_w);
    if (!(quanta > 0.0)) return std::nullopt;
    const double efficiency = line.kappa_input_hz / line.kappa_hz / (1.0 + mode.thermal_occupancy / quanta);
    return 0.5 * (1.0 / std::sqrt(efficiency) - 1.0);
}

double bistable_photons(const CavityLine& line, double shift_per_photon_hz) {
    return 4.0 * line.kappa_hz / (3.0 * std::sqrt(3.0) * shift_per_photon_hz);
}

std::optional<Instability> unstable_power(const CavityLine& line, const CoupledMode& mode, double detuning_hz) {
    const double per_watt = -optical_force(line, mode, {1.0, detuning_hz}).damping_hz;
    if (!(per_watt > 0.0)) return std::nullopt;
    return Instability{mode.linewidth_hz / per_watt, detuning_hz};
}

std::optional<Instability> least_unstable_power(const CavityLine& line, const CoupledMode& mode) {
    if (!(mode.g0_hz > 0.0)) return std::nullopt;
    const auto power = [&](double detuning) {
        const auto found = unstable_power(line, mode, detuning);
        return found ? found->power_w : std::numeric_limits<double>::infinity();
    };
    return unstable_power(line, mode, lowest_at(power, detunings(line, mode)));
}

}  // namespace tymbal

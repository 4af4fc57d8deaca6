#include "tymbal/measurement/measurement.h"

#include "tymbal/base/constants.h"

#include <cmath>

namespace tymbal {

namespace {

using constants::pi;
constexpr double window_sigmas = 2.0;
constexpr double bins_of_hann_window = 1.5;  // noise bandwidth (Harris, Proc. IEEE 66, 51 (1978), from memory)
constexpr double fall_db = 40.0;

}  // namespace

Timing timing(double f, double deviation, const QualityBand& quality) {
    Timing t;
    t.window_low_hz = f - window_sigmas * deviation;
    t.window_high_hz = f + window_sigmas * deviation;
    t.linewidth_hz = f / quality.value;
    t.narrowest_hz = f / quality.high;
    t.widest_hz = f / quality.low;
    t.resolution_hz = 0.2 * t.linewidth_hz;
    t.record_s = bins_of_hann_window / t.resolution_hz;
    t.step_hz = 0.5 * t.linewidth_hz;
    t.ring_up_s = 1.0 / (pi * t.linewidth_hz);
    t.energy_time_s = 0.5 * t.ring_up_s;
    t.settle_s = 3.0 * t.ring_up_s;
    t.sweep_s = (t.window_high_hz - t.window_low_hz) / t.step_hz * t.settle_s;
    t.decay_db_per_s = 20.0 * std::log10(std::exp(1.0)) / t.ring_up_s;
    t.ringdown_s = fall_db / t.decay_db_per_s;
    return t;
}

double thermal_peak_m_per_rthz(double f, double mass, double quality, double temperature) {
    const double omega = 2.0 * pi * f;
    return std::sqrt(4.0 * constants::boltzmann_j_per_k * temperature * quality / (mass * omega * omega * omega));
}

double thermal_rms_m(double f, double mass, double temperature) {
    const double omega = 2.0 * pi * f;
    return std::sqrt(constants::boltzmann_j_per_k * temperature / mass) / omega;
}

double shot_noise_per_rthz(double wavelength, double power) {
    const double photon_j = constants::planck_j_s * constants::light_speed_m_per_s / wavelength;
    return std::sqrt(2.0 * photon_j / power);
}

double pressure_for_share(double share, double per_pa, double others) {
    return share / (1.0 - share) * others / per_pa;
}

}  // namespace tymbal

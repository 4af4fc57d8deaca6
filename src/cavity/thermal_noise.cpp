// Equipartition gives each mode <x^2> = kB T/k and the cavity nu = G x. Where the resonance bends, power follows
// nu + q nu^2 with q = (2/kappa) (1 - 3 u^2)/(2 u (1 + u^2)), u = 2 Delta/kappa: two tones nu_i, nu_j make 2 q nu_i
// nu_j, half of whose power lies at the sum and half at the difference of their frequencies; a tone with itself makes q
// nu_i^2, whose fluctuations lie half at twice its frequency and half near zero. Gaussian motion: <(nu_i nu_j)^2> =
// <nu_i^2> <nu_j^2>, <nu^4> - <nu^2>^2 = 2 <nu^2>^2. [derived]
#include "tymbal/cavity/thermal_noise.h"

#include "tymbal/base/constants.h"

#include <cmath>

namespace tymbal {

namespace {

double second_order_per_hz(double kappa_hz, double detuning_hz) {
    const double u = 2.0 * detuning_hz / kappa_hz;
    return (1.0 - 3.0 * u * u) / (kappa_hz * u * (1.0 + u * u));
}

}  // namespace

double thermal_rms_hz(double coupling_hz_per_m, double stiffness_n_per_m, double temperature_k) {
    return std::abs(coupling_hz_per_m) * std::sqrt(constants::boltzmann_j_per_k * temperature_k / stiffness_n_per_m);
}

double noise_hz_per_rthz(const ThermalTone& tone, double frequency_hz) {
    // In units of the mode's frequency; one factor 2 pi turns a density per rad/s into one per Hz.
    const double at = frequency_hz / tone.frequency_hz, width = tone.linewidth_hz / tone.frequency_hz;
    const double away = 1.0 - at * at;
    const double density =
        4.0 * width / (2.0 * constants::pi * tone.frequency_hz) / (away * away + width * width * at * at);
    return tone.rms_hz * std::sqrt(density);
}

std::vector<MixedTone> mixed_tones(const std::vector<ThermalTone>& tones, double kappa_hz, double detuning_hz) {
    std::vector<MixedTone> mixed;
    if (detuning_hz == 0.0) return mixed;
    const double q = std::abs(second_order_per_hz(kappa_hz, detuning_hz));
    for (std::size_t i = 0; i < tones.size(); ++i) {
        for (std::size_t j = i; j < tones.size(); ++j) {
            const ThermalTone &a = tones[i], &b = tones[j];
            const double level = q * a.rms_hz * b.rms_hz * (i == j ? 1.0 : std::sqrt(2.0));
            const double width = a.linewidth_hz + b.linewidth_hz;
            mixed.push_back({i, j, true, {a.frequency_hz + b.frequency_hz, width, level}});
            if (a.frequency_hz != b.frequency_hz)
                mixed.push_back({i, j, false, {std::abs(a.frequency_hz - b.frequency_hz), width, level}});
        }
    }
    return mixed;
}

}  // namespace tymbal

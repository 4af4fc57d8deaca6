// Thermal motion of the film's modes as noise of the cavity's frequency, and what a nonlinear cavity makes of it.
#pragma once

#include <cstddef>
#include <vector>

namespace tymbal {

/// One mode's thermal motion, as the cavity's frequency follows it.
struct ThermalTone {
    double frequency_hz = 0.0;
    double linewidth_hz = 0.0;  ///< full width at half maximum of the power spectrum
    double rms_hz = 0.0;        ///< of the cavity's frequency
};

/// rms of the cavity's frequency by a displacement in equilibrium, |G| sqrt(kB T/k). For all modes together k is the
/// film's static stiffness under the spot, which adds up all of them.
[[nodiscard]] double thermal_rms_hz(double coupling_hz_per_m, double stiffness_n_per_m, double temperature_k);

/// One-sided noise of the cavity's frequency, Hz/rtHz, on and off the mode's line (viscous damping):
/// S = 4 <nu^2> Omega^2 Gamma/((Omega^2 - omega^2)^2 + Gamma^2 omega^2), integral over frequency <nu^2>.
[[nodiscard]] double noise_hz_per_rthz(const ThermalTone& tone, double frequency_hz);

/// Intermodulation: the tone at the sum or difference of two modes that the bent flank of the resonance makes.
struct MixedTone {
    std::size_t first = 0, second = 0;  ///< places in the list of modes; equal: twice its frequency
    bool sum = true;
    ThermalTone tone;  ///< as noise of the cavity's frequency that would look alike
};

/// The power in the cavity follows nu as f(u + v), f = 1/(1 + u^2), u = 2 Delta/kappa, v = 2 nu/kappa; the second
/// order over the first, f''/(2 f'), is (1 - 3 u^2)/(2 u (1 + u^2)) and vanishes at Delta = kappa/(2 sqrt3) [derived;
/// slow motion, light that is detected as power]. On resonance power has no first order, phase no second: no tones.
[[nodiscard]] std::vector<MixedTone> mixed_tones(const std::vector<ThermalTone>& tones, double kappa_hz,
                                                 double detuning_hz);

}  // namespace tymbal

// What a frequency and a quality factor mean at the bench: where to look, how finely, and for how long.
#pragma once

#include "tymbal/quality/budget.h"

namespace tymbal {

/// All widths are full widths at half maximum of the power spectrum; times of amplitude unless said.
struct Timing {
    double window_low_hz = 0.0;  ///< two standard deviations of frequency and numerics to either side
    double window_high_hz = 0.0;
    double linewidth_hz = 0.0;  ///< f/Q at the middle of the band
    double narrowest_hz = 0.0;  ///< at its upper end
    double widest_hz = 0.0;
    double resolution_hz = 0.0;   ///< resolution bandwidth that shows the width: a fifth of it
    double record_s = 0.0;        ///< of one spectrum at that bandwidth with a Hann window (1.5 bins)
    double step_hz = 0.0;         ///< of a driven sweep: half a width
    double settle_s = 0.0;        ///< at each step: three amplitude times
    double sweep_s = 0.0;         ///< window swept in such steps
    double ring_up_s = 0.0;       ///< amplitude time Q/(pi f), up and down by 1/e
    double energy_time_s = 0.0;   ///< half of that
    double decay_db_per_s = 0.0;  ///< 20 log10(e) pi f/Q, about 27.3 f/Q
    double ringdown_s = 0.0;      ///< to record: until the power has fallen by 40 dB
};

/// @param deviation_hz  one standard deviation of the frequency, numerics included
[[nodiscard]] Timing timing(double frequency_hz, double deviation_hz, const QualityBand& quality);

/// Peak of the one-sided displacement spectrum of thermal motion at the antinode, m/sqrt(Hz): sqrt(4 kB T Q/(m
/// omega^3)) [derived from equipartition].
[[nodiscard]] double thermal_peak_m_per_rthz(double frequency_hz, double mass_kg, double quality, double temperature_k);
/// sqrt(kB T/(m omega^2)), m.
[[nodiscard]] double thermal_rms_m(double frequency_hz, double mass_kg, double temperature_k);
/// Relative intensity noise of shot noise, one-sided, 1/sqrt(Hz): sqrt(2 h nu/P), P the detected power.
[[nodiscard]] double shot_noise_per_rthz(double wavelength_m, double detected_power_w);

/// Pressure at which a loss that grows with it makes `share` of the whole. @param per_pa  1/Q of gas per pascal
/// @param others  1/Q of everything else
[[nodiscard]] double pressure_for_share(double share, double per_pa, double others);

}  // namespace tymbal

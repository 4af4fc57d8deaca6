// Frequency and width of one mode at several detunings of the light: how strongly it couples, from its spring and
// damping.
#pragma once

#include <optional>
#include <vector>

namespace tymbal {

/// The mode's line at one detuning.
struct DetunedLine {
    double detuning_hz = 0.0;  ///< laser less cavity, as the light has pushed it
    double frequency_hz = 0.0;
    double frequency_deviation_hz = 0.0;  ///< 0: not known
    std::optional<double> width_hz;       ///< full width at half maximum of the power spectrum
    double width_deviation_hz = 0.0;      ///< 0: not known
};

/// What is known of light and cavity before.
struct SpringLight {
    double wavelength_m = 0.0;
    double power_w = 0.0;      ///< on the input mirror
    double input_share = 0.0;  ///< of kappa that leaves through the input mirror
    double kappa_hz = 0.0;
    double kappa_deviation = 0.0;  ///< of ln kappa
};

struct SpringFit {
    SpringLight light;                          ///< as given
    double g0_hz = 0.0, g0_deviation_hz = 0.0;  ///< g0/2 pi; the deviation is of the lines alone, with power as given
    double kappa_hz = 0.0, kappa_deviation_hz = 0.0;
    bool kappa_is_found = false;                              ///< by the lines; else by what was known before
    double frequency_hz = 0.0, frequency_deviation_hz = 0.0;  ///< without light
    std::optional<double> linewidth_hz;                       ///< without light
    double linewidth_deviation_hz = 0.0;
    std::optional<double>
        misfit;  ///< chi^2 per degree of freedom, of values with stated deviations; empty: there are none
};

/// Least squares with `optical_force`, first order in g/kappa: at a given kappa the lines are linear in frequency,
/// width and g0^2, so that one number is searched for. Lines without a deviation are weighted by their own scatter,
/// widths and frequencies apart; stated deviations that do not cover widen the result.
/// @param lines  at four detunings at least, of five measured values or more
/// @throws NoAnswer when they are fewer, or when they show no effect of light beyond their scatter
[[nodiscard]] SpringFit fit_spring(const std::vector<DetunedLine>& lines, const SpringLight& light);

/// The mode's line at any detuning, as fitted; its width is that which light adds where no width was measured.
[[nodiscard]] DetunedLine line_at(const SpringFit& fit, double detuning_hz);

}  // namespace tymbal

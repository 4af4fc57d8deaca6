// One or several damped oscillators on a background, fitted to a piece of a power spectrum.
#pragma once

#include <vector>

#include <Eigen/Dense>

namespace tymbal {

/// Power of a driven or thermal oscillator, height (f0 w)^2 / ((f0^2 - f^2)^2 + (f w)^2), w its full width at half
/// maximum.
struct Oscillator {
    double frequency_hz = 0.0, width_hz = 0.0, height = 0.0;
    [[nodiscard]] double operator()(double hz) const;
};

struct LineFit {
    std::vector<Oscillator> lines;
    std::vector<double> frequency_deviation, width_deviation, height_deviation;
    std::vector<double> floor;  ///< under each line, as scaled and tilted
    double log_likelihood = -1e300;
    bool sound = false;  ///< converged inside the piece, all heights and widths above zero
};

/// @param hz, power  the piece
/// @param floor      background of every point, other lines included; scaled and tilted by the fit
/// @param averages   k of the gamma noise
[[nodiscard]] LineFit fit_lines(const Eigen::VectorXd& hz, const Eigen::VectorXd& power, const Eigen::VectorXd& floor,
                                std::vector<Oscillator> start, double averages);

}  // namespace tymbal

// The film parameters that explain matched lines best, with the design's uncertainties as priors, and their covariance.
#pragma once

#include "tymbal/fit/line_model.h"

#include <optional>
#include <string>
#include <vector>

#include <Eigen/Dense>

namespace tymbal {

/// A measured frequency that is taken to be line `line` of device `device` (positions).
struct Datum {
    std::size_t device = 0;
    std::size_t line = 0;
    double log_frequency = 0.0;  ///< ln(Hz)
    double deviation = 0.0;      ///< one sigma of it, measurement and numerics
};

/// One fitted parameter. `shift` is ln(value / design), or the plain change of "film.tilt", "outline.growth" (m),
/// "release.undercut" (m) and of "film.stress_gradient_x", "film.stress_gradient_y" (of ln stress, 1/m).
struct FittedParameter {
    std::string name;
    std::optional<std::size_t> device = {};  ///< the first one it belongs to; empty: shared by all
    double shift = 0.0;
    double deviation = 0.0;
    double prior = 0.0;  ///< its deviation before the measurement
};

/// What may move in a fit. Inputs of the models move within their own deviations.
struct FitFreedom {
    double stress_deviation = 1.0;       ///< prior of ln(stress) about the design's; 1: left to the data
    bool tilt = false;                   ///< two stress components instead of one
    bool gradient = false;               ///< stress changes over the chip, along each axis on which devices lie apart
    bool growth = false;                 ///< edges move also where no deviation of the undercut is stated
    double least_size_deviation = 0.0;   ///< relative; outline sizes known better are loosened to this
    std::optional<double> scatter = {};  ///< relative scatter beyond the stated errors; empty: from the residuals
    /// Where the models were solved, as an earlier fit's parameters; those not named: at the design.
    std::vector<FittedParameter> from = {};
};

struct FilmFit {
    std::vector<FittedParameter> parameters;  ///< "film.stress" first; shifts from the design
    Eigen::MatrixXd covariance;               ///< of the shifts, same order
    std::vector<Shift> shifts;                ///< one per device, from where its model was solved
    std::vector<double> residuals;            ///< ln(measured / fitted), one per datum
    double scatter = 0.0;                     ///< relative, added to every datum so that chi-square meets its freedom
    double chi_square = 0.0;                  ///< with the stated errors alone
    double freedom = 0.0;                     ///< data less what the parameters took from them
    double log_evidence = 0.0;                ///< Laplace's approximation; compares models for the same data
};

/// Maximum of the posterior by Gauss-Newton steps; Gaussian errors and priors about the design. Devices share the
/// stress (or a plane of ln stress over the chip), what their inputs say they share, and one growth or one undercut as
/// long as they are designed alike.
/// The scatter is the value at which chi-square equals the effective freedom (Birge, Phys. Rev. 40, 207 (1932), from
/// memory, scaled the errors instead).
/// @param models  one per device
[[nodiscard]] FilmFit fit_film(const std::vector<const LineModel*>& models, const std::vector<Datum>& data,
                               const FitFreedom& freedom);

/// Correlation of two parameters of a fit.
[[nodiscard]] double correlation(const FilmFit& fit, std::size_t a, std::size_t b);

/// Name of a parameter, "@2" behind it when it belongs to the second device.
[[nodiscard]] std::string full_name(const FittedParameter& parameter);

}  // namespace tymbal

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

/// What may move in a fit. Inputs of the models move within their own deviations.
struct FitFreedom {
    double stress_deviation = 1.0;       ///< prior of ln(stress) about the design's; 1: left to the data
    double stress_centre = 0.0;          ///< of that prior
    bool tilt = false;                   ///< two stress components instead of one
    bool growth = false;                 ///< one outward shift of all edges, shared by all devices
    double least_size_deviation = 0.0;   ///< relative; outline sizes known better are loosened to this
    std::optional<double> scatter = {};  ///< relative scatter beyond the stated errors; empty: from the residuals
};

/// One fitted parameter. `shift` is ln(value / design), or the plain value of "film.tilt" and "outline.growth" (m).
struct FittedParameter {
    std::string name;
    double shift = 0.0;
    double deviation = 0.0;
    double prior = 0.0;  ///< its deviation before the measurement
};

struct FilmFit {
    std::vector<FittedParameter> parameters;  ///< "film.stress" first
    Eigen::MatrixXd covariance;               ///< of the shifts, same order
    std::vector<Shift> shifts;                ///< one per device
    std::vector<double> residuals;            ///< ln(measured / fitted), one per datum
    double scatter = 0.0;                     ///< relative, added to every datum so that chi-square meets its freedom
    double chi_square = 0.0;                  ///< with the stated errors alone
    double freedom = 0.0;                     ///< data less what the parameters took from them
    double log_evidence = 0.0;                ///< Laplace's approximation; compares models for the same data
};

/// Maximum of the posterior by Gauss-Newton steps; Gaussian errors and priors. Inputs named "film..." and "holes..."
/// are shared by all devices, the others belong to one device each (their names get "@2" from the second on).
/// The scatter is the value at which chi-square equals the effective freedom (Birge, Phys. Rev. 40, 207 (1932), from
/// memory, scaled the errors instead).
/// @param models  one per device
[[nodiscard]] FilmFit fit_film(const std::vector<const LineModel*>& models, const std::vector<Datum>& data,
                               const FitFreedom& freedom);

/// Correlation of two parameters of a fit.
[[nodiscard]] double correlation(const FilmFit& fit, std::size_t a, std::size_t b);

}  // namespace tymbal

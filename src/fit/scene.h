// The peaks of one device beside the lines they may be: what does not change while films are tried on them.
#pragma once

#include "tymbal/fit/line_model.h"
#include "tymbal/fit/measured.h"

#include <array>
#include <cstddef>
#include <vector>

namespace tymbal {

inline constexpr double raster_step = 3e-3;  ///< of ln f; also the blur with which a raster of films is scored

struct Scene {
    const std::vector<Peak>& peaks;
    const LineModel& model;
    Eigen::VectorXd logs;        ///< ln of the peaks' frequencies
    Eigen::VectorXd deviations;  ///< of them, stated
    Eigen::VectorXd foreign;     ///< ln of the density of foreign peaks per ln f, at each peak
    Eigen::VectorXd odds;        ///< ln P/(1 - P) of each line
    Eigen::VectorXd unseen;      ///< ln(1 - P) of each line
};

/// @param peaks  by rising frequency; referred to, as the model is
[[nodiscard]] Scene set_scene(const std::vector<Peak>& peaks, const LineModel& model);

/// Sum of ln(1 - P) over the lines, given by ln f, that lie in the band of the peaks.
[[nodiscard]] double unseen_in_band(const Scene& scene, const Eigen::VectorXd& lines);

/// Log likelihood of the peaks for lines at given places, each peak by its nearest line.
[[nodiscard]] double raster_score(const Scene& scene, const Eigen::VectorXd& lines);

/// One sigma of ln f between a peak and a line.
[[nodiscard]] double total_deviation(const Scene& scene, Eigen::Index peak, Eigen::Index line, double scatter);

/// Pairs (peak, line) of the most likely matching for lines at given places.
[[nodiscard]] std::vector<std::array<std::size_t, 2>> match(const Scene& scene, const Eigen::VectorXd& lines,
                                                            double scatter);

/// Chance of every pair (row: peak, column: line of the model) for lines at given places.
[[nodiscard]] Eigen::MatrixXd chances(const Scene& scene, const Eigen::VectorXd& lines, double scatter);

}  // namespace tymbal

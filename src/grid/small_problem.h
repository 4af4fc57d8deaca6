// The Rayleigh-Ritz step of the block eigensolver: best modes within the span of old modes and new directions.
#pragma once

#include <Eigen/Core>

namespace tymbal {

/// Products of all basis vectors, modes first.
struct SmallProblem {
    Eigen::MatrixXd stiffness, mass;
};

struct RitzPairs {
    Eigen::VectorXd values;        ///< rising
    Eigen::MatrixXd combinations;  ///< one column per mode
};

/// The lowest `count` Ritz pairs; the first `count` basis vectors are the old modes. The others are made orthogonal to
/// them first, and to each other; what nearly vanishes then is left out. Signs follow the old modes.
/// @throws NoAnswer when the old modes are not independent or a value is not positive
[[nodiscard]] RitzPairs ritz_pairs(const SmallProblem& problem, Eigen::Index count);

}  // namespace tymbal

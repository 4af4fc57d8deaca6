// Modes of one frequency in a form that every grid agrees on.
#pragma once

#include "assembly.h"

namespace tymbal::spline {

/// Turns each pair of equal values (relative distance below 1e-8), of which the solver returns any two combinations, so
/// that one of the two has the largest possible share of slope along x, Int w_x^2. Other modes are left alone.
/// @param vectors  a column a mode, v' M v = 1
void turn_pairs(const Cells& cells, const Space& space, const Vector& values, Eigen::MatrixXd& vectors);

}  // namespace tymbal::spline

// Names for mode shapes: half-waves (m,n), nodal diameters and circles (d,c), or symmetry, by projection.
#pragma once

#include "tymbal/geometry/outline.h"
#include "tymbal/grid/operators.h"

#include <string>
#include <vector>

namespace tymbal {

/// Labels of all columns of `shapes` (same order). Modes that mix are named by their two largest parts with their sign;
/// what the etch has set free is named as the rectangle of its box where it resembles one; rings get nodal diameters d
/// and half-waves c between the rims, polygons their mirrors (x, y, diagonals d and a) with
/// + for even and - for odd, after the index. Threads change no digit.
[[nodiscard]] std::vector<std::string> label_modes(const Outline& outline, const Grid& grid, const Vector& mass,
                                                   const Eigen::MatrixXd& shapes, unsigned threads);

/// Turns each pair of equal frequencies (relative distance below 1e-8) so that one of the two has the largest possible
/// share of a plain mode; the pair's span is left as it is.
void align_pairs(const Outline& outline, const Grid& grid, const Vector& mass, const Vector& values,
                 Eigen::MatrixXd& shapes, unsigned threads);

/// Zero number `count` (from 1) of the Bessel function J_order, by bisection.
[[nodiscard]] double bessel_zero(int order, int count);

}  // namespace tymbal

// Curvature of mode shapes where holes cut the grid: recovered from the nodes round each place by local least squares.
#pragma once

#include "tymbal/grid/operators.h"

#include <vector>

namespace tymbal {

/// The bending energy of a film whose shape follows its tension, away from the clamped layer.
struct BendingInput {
    double stiffness = 0.0;  ///< E h^3/(12 (1 - nu^2)), N m
    double poisson_ratio = 0.0;
    std::vector<double> film;  ///< part of each cell that is film inside the rim
};

/// Twice the bending energy of each column of `shapes`: int D [(w_xx + w_yy)^2 - 2 (1 - nu)(w_xx w_yy - w_xy^2)].
///
/// At each node second derivatives come from a cubic (a parabola where too few nodes are near) fitted to the shape at
/// the nodes of film within two spacings, nearer ones counting more; each cell takes the mean of its corners. The
/// recovery is that of a gradient by patches (Zienkiewicz and Zhu, Int. J. Numer. Meth. Eng. 33, 1331 (1992), from
/// memory) taken one derivative further; its order is asserted in tests/modes.
/// Threads change no digit.
[[nodiscard]] Vector curvature_energy(const Grid& grid, const BendingInput& input, const Eigen::MatrixXd& shapes,
                                      unsigned threads);

}  // namespace tymbal

// One grid of the chip plate: bending energy with natural free edges, differenced, and its modes.
#pragma once

#include "tymbal/grid/operators.h"
#include "tymbal/measurement/plate.h"

namespace tymbal {

/// Modes on one grid; nodes on the edges are unknowns unless they are held.
struct PlateLevel {
    int columns = 0, rows = 0;
    double dx = 0.0, dy = 0.0;
    std::vector<int> number;  ///< of node (i, j) at i + columns * j, -1: held
    Vector values;            ///< omega^2, rising, rigid motions left out
    Eigen::MatrixXd shapes;   ///< mass one
    /// All modes at a place measured from the centre, linear between nodes.
    [[nodiscard]] Vector at(double x, double y) const;
};

/// Free edges need nothing but care with half strips: there the moment across the edge vanishes, which leaves
/// d22 - d12^2/d11 for the curvature along it. A clamped edge mirrors its neighbour, w_xx = 2 w_1/dx^2.
[[nodiscard]] PlateLevel solve_plate(const PlateProblem& plate, int cells_x, int cells_y);

}  // namespace tymbal

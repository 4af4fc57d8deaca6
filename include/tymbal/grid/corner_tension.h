// Tension kept at the corners between two arms, where the in-plane balance knows it: for grids that see every hole.
//
// The in-plane equations balance corner by corner. With that same tension a tilted flat film carries no net load at any
// node, as it must; averaged over cells first, it would, and shapes would be rough where holes cut the cells.
#pragma once

#include "tymbal/grid/operators.h"

namespace tymbal {

/// Tension (xx, yy, xy) at each node's four corners, N/m: order 4 n + 2 ax + (ay - 2), ax 0 or 1 and ay 2 or 3 being
/// the corner's arms.
using CornerTensor = PageVector<std::array<double, 3>>;

/// As tension_matrix, from corners.
[[nodiscard]] SparseMatrix corner_tension_matrix(const Grid& grid, const CornerTensor& tension);

/// w' K w of each column of `shapes` with that matrix, without forming it; corners without tension cost nothing.
/// Threads change no digit.
[[nodiscard]] Vector corner_tension_energy(const Grid& grid, const CornerTensor& tension, const Eigen::MatrixXd& shapes,
                                           unsigned threads);

}  // namespace tymbal

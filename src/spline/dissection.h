// An order of elimination for lattice unknowns: halves by place, the line between them last.
#pragma once

#include "space.h"

#include <Eigen/SparseCore>

#include <array>
#include <vector>

namespace tymbal::spline {

/// A group of unknowns that is eliminated together, after its children.
struct EliminationGroup {
    std::vector<int> unknowns;
    std::array<int, 2> children{-1, -1};  ///< numbers of earlier blocks
};

/// Blocks in the order of elimination, children before parents, the root last.
/// @param place  of each unknown on the lattice
/// @param graph  symmetric pattern, both triangles
[[nodiscard]] std::vector<EliminationGroup> dissect(const std::vector<std::array<int, 2>>& place,
                                                    const Eigen::SparseMatrix<char, Eigen::RowMajor>& graph, int leaf);

}  // namespace tymbal::spline

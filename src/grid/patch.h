// Derivatives from the nodes of film round a place, by local least squares: for edges that cut the grid anywhere.
#pragma once

#include "tymbal/grid/grid.h"

#include <Eigen/Core>

#include <array>
#include <cstddef>
#include <optional>
#include <vector>

namespace tymbal {

/// Nodes within two spacings of one along each axis, joined to it by film, with their steps from it.
struct Patch {
    static constexpr int reach = 2;  ///< spacings
    static constexpr int side = 2 * reach + 1;
    static constexpr std::size_t most = side * side;
    std::size_t size = 0;
    std::array<int, most> node{};
    std::array<std::array<int, 2>, most> step{};
    std::array<double, most> film{};  ///< part of each node's four quarter cells that is film: how well it is known
};

/// @param film  part of each cell that is film, order grid.cell(i, j)
[[nodiscard]] Patch patch_round(const Grid& grid, const std::vector<double>& film, int centre);

/// Rows x, y, xx, yy, xy: weights on the patch's values, columns in its order, derivatives per spacing.
using PatchWeights = Eigen::Matrix<double, 5, Eigen::Dynamic, Eigen::ColMajor, 5, static_cast<int>(Patch::most)>;

enum class PatchFit { parabola, cubic };

/// Derivatives at `offset` (in spacings from the centre) of the polynomial fitted to the patch, nodes counting more
/// that are nearer and have more film; a parabola where too few nodes are near for a cubic.
/// @return empty where even that is not fixed
[[nodiscard]] std::optional<PatchWeights> patch_weights(const Patch& patch, Point offset, PatchFit fit);

}  // namespace tymbal

#include "tymbal/grid/mirrors.h"

#include <algorithm>
#include <array>
#include <cmath>
#include <cstddef>

namespace tymbal {

namespace {

bool alike(const Node& a, const Node& b, const std::array<std::size_t, 4>& arm_of, double tolerance) {
    for (std::size_t k = 0; k < 4; ++k) {
        const Arm &mine = a.arms[k], &theirs = b.arms[arm_of[k]];
        if (mine.cut() != theirs.cut() || std::abs(mine.length - theirs.length) > tolerance) return false;
    }
    return true;
}

/// @param arm_of    which arm of a node's image each of its arms becomes
/// @param place_of  column and row of a node's image
template <class PlaceOf>
Mirror image(const Grid& grid, const std::array<std::size_t, 4>& arm_of, PlaceOf place_of) {
    const double tolerance = 1e-9 * std::min(grid.dx, grid.dy);
    Mirror mirror;
    mirror.reserve(grid.nodes.size());
    for (const Node& node : grid.nodes) {
        const auto [i, j] = place_of(node);
        const int other = grid.number[static_cast<std::size_t>(i + grid.columns * j)];
        if (other < 0 || !alike(node, grid.nodes[static_cast<std::size_t>(other)], arm_of, tolerance)) return {};
        mirror.push_back(other);
    }
    return mirror;
}

using GridPlace = std::array<int, 2>;

}  // namespace

Mirrors mirrors(const Grid& grid) {
    Mirrors out;
    out.in_x = image(grid, {1, 0, 2, 3}, [&](const Node& n) { return GridPlace{grid.columns - 1 - n.i, n.j}; });
    out.in_y = image(grid, {0, 1, 3, 2}, [&](const Node& n) { return GridPlace{n.i, grid.rows - 1 - n.j}; });
    if (grid.columns == grid.rows)
        out.exchange = image(grid, {2, 3, 0, 1}, [](const Node& n) { return GridPlace{n.j, n.i}; });
    return out;
}

}  // namespace tymbal

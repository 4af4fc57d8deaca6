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

Mirror image(const Grid& grid, bool in_x) {
    const std::array<std::size_t, 4> arm_of =
        in_x ? std::array<std::size_t, 4>{1, 0, 2, 3} : std::array<std::size_t, 4>{0, 1, 3, 2};
    const double tolerance = 1e-9 * std::min(grid.dx, grid.dy);
    Mirror mirror;
    mirror.reserve(grid.nodes.size());
    for (const Node& node : grid.nodes) {
        const int i = in_x ? grid.columns - 1 - node.i : node.i, j = in_x ? node.j : grid.rows - 1 - node.j;
        const int other = grid.number[static_cast<std::size_t>(i + grid.columns * j)];
        if (other < 0 || !alike(node, grid.nodes[static_cast<std::size_t>(other)], arm_of, tolerance)) return {};
        mirror.push_back(other);
    }
    return mirror;
}

}  // namespace

Mirrors mirrors(const Grid& grid) {
    return {image(grid, true), image(grid, false)};
}

}  // namespace tymbal

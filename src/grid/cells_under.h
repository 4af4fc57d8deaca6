// Which cells of a grid a convex polygon covers, and by how much.
#pragma once

#include "tymbal/geometry/lattice.h"
#include "tymbal/grid/grid.h"

#include <algorithm>
#include <cmath>
#include <cstddef>
#include <vector>

namespace tymbal {

/// Calls visit(cell, share of the cell that is covered) for each cell near the polygon, row by row.
template <class Visit>
void cells_under(const std::vector<Point>& polygon, const Grid& grid, Visit visit) {
    Box reach{polygon.front(), polygon.front()};
    for (const Point& p : polygon) {
        reach.low = {std::min(reach.low.x, p.x), std::min(reach.low.y, p.y)};
        reach.high = {std::max(reach.high.x, p.x), std::max(reach.high.y, p.y)};
    }
    const auto column = [&](double x) {
        return std::clamp(static_cast<int>(std::floor((x - grid.x0) / grid.dx)), 0, grid.columns - 2);
    };
    const auto row = [&](double y) {
        return std::clamp(static_cast<int>(std::floor((y - grid.y0) / grid.dy)), 0, grid.rows - 2);
    };
    const int i0 = column(reach.low.x), i1 = column(reach.high.x), j0 = row(reach.low.y), j1 = row(reach.high.y);
    const bool whole = i0 == i1 && j0 == j1;
    for (int j = j0; j <= j1; ++j) {
        for (int i = i0; i <= i1; ++i) {
            const Point low{grid.x0 + i * grid.dx, grid.y0 + j * grid.dy};
            const double covered =
                polygon_area(whole ? polygon : clip(polygon, {low, {low.x + grid.dx, low.y + grid.dy}}));
            visit(static_cast<std::size_t>(grid.cell(i, j)), covered / (grid.dx * grid.dy));
        }
    }
}

}  // namespace tymbal

// A uniform Cartesian grid over an outline: the nodes inside, and for each node how far its four arms reach.
#pragma once

#include "tymbal/geometry/boundary.h"
#include "tymbal/grid/pages.h"

#include <array>
#include <cstddef>
#include <vector>

namespace tymbal {

/// Where a grid line meets the rim.
struct RimEnd {
    Point normal;            ///< unit vector out of the film
    int loop = 0;            ///< which rim
    double curvature = 0.0;  ///< of the rim, see Crossing
};

/// One of a node's four arms along the grid lines: to the neighbouring node, or to the rim where that comes first.
/// A grid with every hole on it has millions of nodes, so that what belongs to the rim stands once, in Grid::ends.
struct Arm {
    static constexpr int on_rim = -1, in_opening = -2;
    int to = on_rim;      ///< neighbour's number, or what the arm ends on
    int end = -1;         ///< of an arm that ends on the rim, in Grid::ends; -1 for others
    double length = 0.0;  ///< m; at most a little above one spacing
    [[nodiscard]] bool cut() const { return to < 0; }
    /// Ends in an opening, where nothing holds the film; its cells hold none either.
    [[nodiscard]] bool free() const { return to == in_opening; }
    /// Length that belongs to this node alone: half of a link between two nodes, all of a cut arm.
    [[nodiscard]] double own_length() const { return cut() ? length : 0.5 * length; }
};

/// Arms in the order +x, -x, +y, -y.
struct Node {
    int i = 0;
    int j = 0;
    std::array<Arm, 4> arms;
};

/// Nodes (i, j) lie at (x0 + i dx, y0 + j dy); cell (i, j) has node (i, j) at its lower left corner.
struct Grid {
    int columns = 0;  ///< of nodes, rim and outside included
    int rows = 0;
    double x0 = 0.0, y0 = 0.0;
    double dx = 0.0, dy = 0.0;
    PageVector<Node> nodes;    ///< the unknowns: strictly inside the rim
    PageVector<int> number;    ///< of node (i, j) at i + columns * j, -1: not an unknown
    std::vector<RimEnd> ends;  ///< where arms meet the rim, by Arm::end

    /// What a cut arm meets; without direction and curvature where that is an opening.
    [[nodiscard]] RimEnd end_of(const Arm& arm) const {
        return arm.end < 0 ? RimEnd{} : ends[static_cast<std::size_t>(arm.end)];
    }

    [[nodiscard]] int cell_count() const { return (columns - 1) * (rows - 1); }
    [[nodiscard]] int cell(int i, int j) const { return i + (columns - 1) * j; }
    [[nodiscard]] Point place(const Node& n) const { return {x0 + n.i * dx, y0 + n.j * dy}; }
    [[nodiscard]] Point cell_centre(int i, int j) const { return {x0 + (i + 0.5) * dx, y0 + (j + 0.5) * dy}; }
};

/// Cells of the wanted size over the rim's box; for rectangles the rim lies on grid lines, curved and oblique rims cut
/// the grid. @param cells_x, cells_y  cells across the box, each >= 4
/// @throws NoAnswer when no node lies inside
[[nodiscard]] Grid make_grid(const Boundary& rim, int cells_x, int cells_y);

/// Numbers of the nodes in rows from <= j < to: the first one and the one behind the last. Nodes stand row by row.
[[nodiscard]] std::array<std::size_t, 2> nodes_in_rows(const Grid& grid, int from, int to);

/// Part of each cell that lies inside the rim, order grid.cell(i, j): exact along x, eight lines a cell across it.
[[nodiscard]] std::vector<double> covered(const Boundary& rim, const Grid& grid);

}  // namespace tymbal

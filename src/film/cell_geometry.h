// The holes of one periodic cell and exact measures of the film that they leave: triangle areas and quadrature points.
#pragma once

#include "tymbal/film/unit_cell.h"

#include <array>
#include <vector>

namespace tymbal {

/// A rectangular periodic cell with its grid; lengths in units of the pitch, node (i, j) at (i dx, j dy).
struct CellGrid {
    double width = 0.0, height = 0.0;
    std::vector<Point> holes;  ///< centres inside the cell
    HoleShape shape = HoleShape::circle;
    double size = 0.0;
    int nx = 0, ny = 0;
    double dx = 0.0, dy = 0.0;
    [[nodiscard]] int node(int i, int j) const { return (i + nx) % nx + nx * ((j + ny) % ny); }
};

/// @param per_pitch  wanted grid cells to a pitch
[[nodiscard]] CellGrid make_cell(const CellProblem& problem, int per_pitch);

/// Film area in the four corner triangles of grid cell (i, j): at the lower left, lower right, upper left and upper
/// right node, each half of the cell, cut by the holes (exact for circles and polygons).
[[nodiscard]] std::array<double, 4> corner_areas(const CellGrid& cell, int i, int j);

/// One quadrature point of the film part of a grid cell.
struct FilmPoint {
    double x = 0.0, y = 0.0;  ///< within the grid cell, 0..1
    double weight = 0.0;      ///< area
};

/// Points that integrate polynomials over the film part of grid cell (i, j): lines across it split wherever a hole's
/// edge enters or leaves, so that what is integrated along y is smooth. Empty when no film is left; `whole` when no
/// hole cuts it.
[[nodiscard]] std::vector<FilmPoint> film_points(const CellGrid& cell, int i, int j, bool& whole);

}  // namespace tymbal

// One hole as the mask writer gets it: a polygon of the hole's area with its corners on the writer's address grid.
#pragma once

#include "tymbal/geometry/holes.h"
#include "tymbal/pattern/drawing.h"

#include <vector>

namespace tymbal {

/// Corners that a mask file can hold in one figure (64 KiB records: 8191 with the repeated first corner), and that
/// readers of the format's early days could. Both from memory.
inline constexpr int most_corners_of_format = 8190;
inline constexpr int most_corners_of_old_readers = 199;

struct WantedHole {
    HoleShape shape = HoleShape::circle;
    double width_m = 0.0;    ///< diameter, side or width across flats, as it is to be drawn
    double angle_rad = 0.0;  ///< of the figure (see geometry/lattice.h)
    int grid = 1;            ///< step of the address grid in database units
    int most_corners = most_corners_of_old_readers;
};

/// The drawn figure, centrally symmetric and convex, so that all holes of a pattern are equal.
struct HoleFigure {
    std::vector<DrawnPoint> corners;   ///< in its cell
    double centre_x = 0.0;             ///< of the figure in its cell, database units: 0 or half a grid step, the same
    double centre_y = 0.0;             ///< in x and y
    double width_m = 0.0;              ///< of the circle (square, hexagon) with the figure's area
    double least_width_m = 0.0;        ///< between the closest two parallels that hold the figure
    double largest_departure_m = 0.0;  ///< circle: of the figure's edge from the circle; else of its corners
};

/// Circles become polygons of the same area with as many corners as keep the edge within half a grid step of the
/// circle (a multiple of 8, at most `most_corners`). Corners are rounded to the grid; among sizes within half a step of
/// the wanted one, and centres on and between grid points, the figure with the closest area is taken.
/// @throws NoAnswer when the grid is too coarse for the hole
[[nodiscard]] HoleFigure draw_hole(const WantedHole& wanted);

/// Solid width between two copies of a figure, the second moved by (x, y) database units; negative when they overlap.
/// Exact: two copies of a centrally symmetric convex figure meet when the offset lies in the figure of twice the size.
[[nodiscard]] double drawn_gap_m(const HoleFigure& figure, double x, double y);

}  // namespace tymbal

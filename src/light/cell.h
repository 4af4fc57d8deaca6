// The unit cell of a hole lattice as the Fourier solver sees it: its periods, the holes in it, and the mirrors it has.
#pragma once

#include "tymbal/geometry/holes.h"

#include <vector>

namespace tymbal::fourier {

/// Lengths in any one unit. The holes lie so that the cell is unchanged by a turn by half a circle about the origin:
/// its Fourier coefficients are then real.
struct Cell {
    Point first, second;         ///< periods
    std::vector<Point> centres;  ///< of the holes in one cell
    HoleShape shape = HoleShape::circle;
    double size = 0.0;   ///< diameter, side or width across flats
    double turn = 0.0;   ///< of the hole's figure, rad
    double pitch = 1.0;  ///< between nearest hole centres
};

/// First lattice direction along x. @throws std::logic_error for Lattice::list
[[nodiscard]] Cell cell_of(Lattice lattice, HoleShape shape, double pitch, double size);

/// The same cell, turned about the origin.
[[nodiscard]] Cell turned(const Cell& cell, double angle);

/// Corners of the hole's figure about its centre, counter-clockwise; empty for circles.
[[nodiscard]] std::vector<Point> corners(const Cell& cell);

/// Is the cell unchanged when x changes its sign (`flip_x`), or y, or both?
[[nodiscard]] bool unchanged(const Cell& cell, bool flip_x, bool flip_y);

/// Largest factor by which every hole can grow before it touches a neighbour.
[[nodiscard]] double growth_until_touching(const Cell& cell);

[[nodiscard]] double area(const Cell& cell);

}  // namespace tymbal::fourier

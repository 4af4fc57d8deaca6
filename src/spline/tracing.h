// The film's edges cut along grid lines: what runs through each cell, from where it enters to where it leaves.
#pragma once

#include "cells.h"

#include <vector>

namespace tymbal::spline {

/// Film edge inside one cell, film on its left. Coordinates within the cell, 0 to 1.
struct Chain {
    int ix = 0, iy = 0;
    bool closed = false;  ///< lies inside the cell altogether
    double enters = 0.0;  ///< along the cell's border, counter-clockwise from the lower left corner, 0 to 4
    double leaves = 0.0;
    std::vector<Point> points;  ///< closed: first not repeated
    std::vector<bool> held;     ///< per chord
};

/// All chains in cells of the frame, sorted by row, then column.
[[nodiscard]] std::vector<Chain> trace(const Region& region, const Frame& frame);

/// Corners of held rim that point into the film (cusps between etch fronts), in units of the grid's cells.
[[nodiscard]] std::vector<Point> cusps(const Region& region, const Frame& frame);

/// Is the lower left cell's row `iy` film at its left end? For rows that no edge runs through.
[[nodiscard]] bool row_is_film(const Region& region, const Frame& frame, int iy);

}  // namespace tymbal::spline

// How much of each grid cell lies inside closed figures: exact for lines and arcs, where figures overlap as well.
#pragma once

#include "tymbal/geometry/openings.h"
#include "tymbal/grid/grid.h"

#include <vector>

namespace tymbal {

/// Share (0 to 1) of each cell, order grid.cell(i, j), that at least one figure covers.
///
/// One figure: area by Green's theorem, its edges cut at the grid lines (exact up to rounding). Cells that several
/// figures enter: length of the union along lines across the cell, by Gauss-Legendre quadrature between the ends of
/// edges, their crossings with the cell's sides and sixteen rungs; where edges cross each other between rungs the
/// area is right to about 1e-5 of the cell (two circles' lens in tests/grid). Threads change no digit.
[[nodiscard]] std::vector<double> open_share(const std::vector<Figure>& figures, const Grid& grid,
                                             unsigned threads = 1);

}  // namespace tymbal

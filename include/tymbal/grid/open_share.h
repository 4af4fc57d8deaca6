// How much of each grid cell lies inside closed figures: exact for lines and arcs, where figures overlap as well.
#pragma once

#include "tymbal/geometry/openings.h"
#include "tymbal/grid/grid.h"

#include <vector>

namespace tymbal {

/// Share (0 to 1) of each cell, order grid.cell(i, j), that at least one figure covers.
///
/// One figure: area by Green's theorem, its edges cut at the grid lines (exact up to rounding). Cells that several
/// figures enter: length of the union along lines across the cell, by Gauss-Legendre quadrature between all
/// heights where that length has a kink (to about 1e-7 of a cell where arcs meet).
[[nodiscard]] std::vector<double> open_share(const std::vector<Figure>& figures, const Grid& grid);

}  // namespace tymbal

// Where the holes are drawn: centres snapped to the address grid, gathered into rows and arrays, and their least gap.
#pragma once

#include "tymbal/geometry/lattice.h"
#include "tymbal/pattern/hole_figure.h"

#include <vector>

namespace tymbal {

struct DrawnSites {
    std::vector<DrawnPoint> sites;  ///< where the hole's cell is placed, in the order of the holes
    double largest_shift_m = 0.0;   ///< of a drawn centre from the wanted one
};

/// Each centre goes to the nearest point it can have, on its own: a pitch off the grid does not add up over the field.
/// Centres half way between two points all go the same way, so that even rows stay even.
[[nodiscard]] DrawnSites snap_sites(const std::vector<Hole>& holes, const HoleFigure& figure, int grid);

/// Copies of a cell at all sites, as few placements as rows allow: three or more sites at one distance along x become a
/// row (or, without one, along y a column), and equal rows at one distance an array. Sites may come in any order.
[[nodiscard]] std::vector<Placement> gather(std::vector<DrawnPoint> sites, std::size_t cell);

/// Least solid width between any two holes, m; infinite for a single hole, zero or less when holes meet.
[[nodiscard]] double least_gap_m(const HoleFigure& figure, const std::vector<DrawnPoint>& sites);

}  // namespace tymbal

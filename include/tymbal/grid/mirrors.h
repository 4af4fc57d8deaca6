// Mirror images on a grid: a problem that is its own image splits into small ones, each solved in a fraction of the
// time.
#pragma once

#include "tymbal/grid/grid.h"

#include <vector>

namespace tymbal {

/// For each node the number of its image. A permutation that is its own inverse.
using Mirror = std::vector<int>;

/// The two mirrors through the middle of the grid, x and y reversed, and the one that exchanges x and y.
struct Mirrors {
    Mirror in_x, in_y, exchange;
};

/// Those under which the grid's nodes and arms (to 1e-9 of a spacing) are their own image; empty where they are not.
[[nodiscard]] Mirrors mirrors(const Grid& grid);

}  // namespace tymbal

// omega^2 of a film a little changed, from the shapes that are known: first order exact.
//
// The film is stretched along x and y with its rim and its openings, so that the same cells hold the same parts of it,
// or is of another sheet; it relaxes anew in its plane. Source: Rayleigh's principle.
#pragma once

#include "solved_grid.h"

namespace tymbal::spline {

struct Change {
    Sheet sheet;
    double along_x = 1.0, along_y = 1.0;  ///< factors of all lengths
};

/// Rayleigh's quotient of each of the grid's shapes in the changed film, 1/s^2.
[[nodiscard]] Vector squares_after(const SolvedGrid& grid, const Change& change);

}  // namespace tymbal::spline

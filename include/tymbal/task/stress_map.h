// The relaxed stress over the suspended film, place by place, and where it is largest.
#pragma once

#include "tymbal/modes/find_modes.h"

#include <array>
#include <vector>

namespace tymbal {

/// Values at the centres of the cells of the relaxation's grid, row by row from the lowest y; NaN outside the outline.
struct StressMap {
    int columns = 0, rows = 0;
    double x0 = 0.0, y0 = 0.0;                ///< first centre, m
    double dx = 0.0, dy = 0.0;                ///< m
    std::vector<std::array<double, 3>> mean;  ///< xx, yy, xy: tension over film thickness, open area counted in, Pa
    /// Largest stress there, Pa: tangential at the edges of the holes in the hole field, each under the mean tension of
    /// its own lattice cell; von Mises in solid film. Cells that hold several carry a mixture by area, for the eye.
    std::vector<double> largest;
    double peak_pa = 0.0;
    double peak_error_pa = 0.0;  ///< averaged holes: of grid, cell and of averaging where the field ends; else 0
    Point peak;                  ///< centre of the hole or cell that has it; the first of equals
};

/// The stress of a solved level; for a hole field on a grid of its own where the level's is too coarse: it is largest
/// where the field ends, and frequencies may have been content with fewer cells. At corners of the averaged field the
/// tension has no limit; what a hole feels is its mean over a lattice cell, which has one. Under a patch it is the
/// film's own.
[[nodiscard]] StressMap stress_map(const Outline& outline, const PaintedFilm& film, const Level& level);

}  // namespace tymbal

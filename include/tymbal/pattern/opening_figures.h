// Single openings as the mask writer gets them: their union, moved back by what the process adds, on the address grid.
#pragma once

#include "tymbal/geometry/openings.h"
#include "tymbal/pattern/drawing.h"

#include <vector>

namespace tymbal {

struct WantedOpenings {
    std::vector<Figure> openings;  ///< as released; they may overlap each other
    double growth_m = 0.0;         ///< per edge, from drawn to released; negative where openings shrink
    int grid = 1;                  ///< step of the address grid in database units
};

/// One connected figure: corners counter-clockwise, and clockwise round what is left standing inside.
struct DrawnRegion {
    std::vector<DrawnPoint> rim;
    std::vector<std::vector<DrawnPoint>> islands;
};

/// Every point of the union whose distance from its edge is at least the growth (or at most minus the growth beyond
/// it): grown back by the process, straight edges, arcs and inner corners are where the design has them, and outer
/// corners are rounded by the growth. Arcs become chords that enclose their area, at most half a grid step from them.
/// @throws NoAnswer where an opening is nowhere, or not all along, wider than twice the growth, or vanishes on the grid
[[nodiscard]] std::vector<DrawnRegion> draw_openings(const WantedOpenings& wanted);

/// Closed curves that enclose an area together, by the rule of what is inside of how many (or an odd number).
struct FilledShape {
    std::vector<std::vector<Point>> rings;  ///< m
    bool even_odd = false;
};

/// All shapes together with their corners on the grid, as they are: no process is taken off.
[[nodiscard]] std::vector<DrawnRegion> draw_shapes(const std::vector<FilledShape>& shapes, int grid);

/// A region as figures without islands and with at most `most_corners` corners that adjoin without overlap.
[[nodiscard]] std::vector<DrawnFigure> pieces(const DrawnRegion& region, Layer layer, int most_corners, int grid);

/// Area of a region, m^2.
[[nodiscard]] double area_m2(const DrawnRegion& region);

/// Area that the openings take away together, m^2: overlaps count once.
[[nodiscard]] double united_area_m2(const std::vector<Figure>& openings);

}  // namespace tymbal

// Lines of equal value on a raster, by marching squares with linear interpolation.
#pragma once

#include "tymbal/geometry/edge.h"
#include "tymbal/modes/modes.h"
#include "tymbal/task/stress_map.h"

#include <vector>

namespace tymbal {

/// Values at points (x0 + i dx, y0 + j dy), row by row from the lowest y; NaN: unknown.
struct Raster {
    int columns = 0, rows = 0;
    double x0 = 0.0, y0 = 0.0, dx = 0.0, dy = 0.0;
    std::vector<double> values;
    [[nodiscard]] double at(int i, int j) const { return values[static_cast<std::size_t>(i + columns * j)]; }
};

using Polyline = std::vector<Point>;  ///< closed ones repeat their first point

/// Unknown where the film is open.
[[nodiscard]] Raster raster_of(const ShapeRaster& shape);
[[nodiscard]] Raster raster_of_largest(const StressMap& map);

/// Every k-th point only, so that at most `most` stand in a row or column.
[[nodiscard]] Raster thinned(const Raster& raster, int most);

/// The largest known value within `reach` points along x and y of each point.
[[nodiscard]] Raster largest_near_by(const Raster& raster, int reach_x, int reach_y);

/// Unknown points next to known ones take the mean of these, ring by ring, at most `rings` of them.
[[nodiscard]] Raster filled_outwards(Raster raster, int rings);

/// Thinned, with a value everywhere: what is unknown continues what lies round it, so that bands cut off at the true
/// edge of the film reach it. Some value must be known.
[[nodiscard]] Raster covering(const Raster& raster, int most);

/// One more point on every side, with the values of the border.
[[nodiscard]] Raster widened(const Raster& raster);

/// Closed curves round all places with a value of at least `level`, the raster's border included; to be filled by the
/// even-odd rule. No value may be NaN.
[[nodiscard]] std::vector<Polyline> regions_above(const Raster& raster, double level);

/// Lines on which the values change sign; they end where the raster ends or is unknown.
[[nodiscard]] std::vector<Polyline> zero_lines(const Raster& raster);

/// Length of a line, m.
[[nodiscard]] double length(const Polyline& line);

/// The line without points that lie within `tolerance` (m) of what is left; its ends stay.
[[nodiscard]] Polyline simplified(const Polyline& line, double tolerance);

}  // namespace tymbal

// Where to put the light: overlap of a Gaussian spot with mode shapes everywhere on the film, and the best places.
#pragma once

#include "tymbal/modes/modes.h"

#include "tymbal/geometry/outline.h"

#include <vector>

namespace tymbal {

/// Mean of a mode shape over the spot's intensity with the spot on each point of the raster, same order.
[[nodiscard]] std::vector<double> overlap_map(const ShapeRaster& shape, double spot_radius_m);

struct SpotChoice {
    Point at;
    double overlap = 0.0;  ///< least |overlap| among the wanted modes there
};

/// Raster point at which the least |overlap| of the maps is largest. Of equal points the first, from the lowest y, then
/// the lowest x. @param maps  on the raster of `frame`; at least one
[[nodiscard]] SpotChoice best_spot(const ShapeRaster& frame, const std::vector<const std::vector<double>*>& maps);

}  // namespace tymbal

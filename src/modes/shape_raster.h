// Mode shapes on the raster of their grid, and where the film is open.
#pragma once

#include "tymbal/modes/find_modes.h"

#include <vector>

namespace tymbal {

/// Points of a level's raster that lie inside the outline and hold no film; empty where holes are not resolved.
[[nodiscard]] std::vector<bool> open_points(const Outline& outline, const Level& level);

/// @param w    displacement at the nodes  @param top  its largest, by which it is divided
/// @param open see open_points
[[nodiscard]] ShapeRaster shape_raster(const Grid& grid, const Vector& w, double top, std::vector<bool> open);

}  // namespace tymbal

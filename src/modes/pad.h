// Where a film that hangs on narrow parts has its wide ones, and which of them a mode moves.
#pragma once

#include "tymbal/modes/find_modes.h"

#include <string>
#include <vector>

namespace tymbal {

/// Points of the level's grid (its rows by columns) that lie in a pad: what a disc of six tenths of the largest
/// inscribed circle can reach within the film. Empty where that is nearly all of the film.
[[nodiscard]] std::vector<bool> pad_points(const Level& level);

/// "pad" or "tether", whichever has six tenths of w^2; empty where neither has, or where there is no pad.
[[nodiscard]] std::string pad_character(const ShapeRaster& shape, const std::vector<bool>& pad);

}  // namespace tymbal

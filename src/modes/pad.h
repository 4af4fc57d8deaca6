// Where a film that hangs on narrow parts has its wide ones, and which of them a mode moves.
#pragma once

#include "tymbal/modes/find_modes.h"

#include <string>
#include <vector>

namespace tymbal {

/// Points of the level's grid (its rows by columns) that lie in a pad: what a disc of six tenths of the largest
/// inscribed circle can reach within the film. Empty where that is nearly all of the film, or no more than where
/// strands meet: the circle is less than three times as wide as the film's narrowest part.
[[nodiscard]] std::vector<bool> pad_points(const Level& level, double narrowest);

/// "pad" where the pad moves along: the mean of w^2 over it is a fifth or more (1 where it is the antinode throughout,
/// a third at most where it tilts); "tether" where that is a twentieth or less; else, or without a pad, empty.
[[nodiscard]] std::string pad_character(const ShapeRaster& shape, const std::vector<bool>& pad);

}  // namespace tymbal

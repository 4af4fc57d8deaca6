// How solvers see a strip: a rectangle whose rim is held, with openings that let the strip's long sides go.
#pragma once

#include "tymbal/geometry/openings.h"
#include "tymbal/geometry/outline.h"

#include <array>

namespace tymbal {

/// As long as the strip and twice as wide.
[[nodiscard]] Rectangle frame_of(const Strip& strip);

/// The openings beside both long sides; they reach beyond the frame.
[[nodiscard]] std::array<Figure, 2> free_sides(const Strip& strip);

/// Openings of this width along both long sides, from clamp to clamp: what is drawn to let them go.
[[nodiscard]] std::array<Figure, 2> trenches(const Strip& strip, double width_m);

}  // namespace tymbal

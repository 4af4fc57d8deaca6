// The etch front that a window's outline does not show.
#pragma once

#include "tymbal/geometry/boundary.h"
#include "tymbal/geometry/front.h"
#include "tymbal/task/device.h"

namespace tymbal {

/// Of the release's own undercut, from the holes as placed. Empty without an etch, where the front is the outline
/// itself, and where fronts just touch.
[[nodiscard]] Boundary front_inside(const Device& device, const PlacedHoles& holes);

}  // namespace tymbal

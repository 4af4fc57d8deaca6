// What the wet etch of a design leaves open.
#pragma once

#include "tymbal/task/predict.h"

namespace tymbal {

/// Oxide that the design's undercut leaves between the holes, a window's rim that it does not reach, rates and
/// thinning.
[[nodiscard]] Warnings release_warnings(const Device& device);

}  // namespace tymbal

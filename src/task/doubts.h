// Inputs that are possible but look like a slip: a wrong prefix, a deviation in the value's place.
#pragma once

#include "tymbal/task/predict.h"

#include <vector>

namespace tymbal {

/// A deviation above its value, a stress below 1 MPa and the like.
/// @param thinned  a wet etch took some of the film, so that its thickness is not the one that the user stated
[[nodiscard]] Warnings doubtful_inputs(const std::vector<SourceLine>& sources, bool thinned = false);

}  // namespace tymbal

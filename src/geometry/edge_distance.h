// How far two pieces of rims stand apart.
#pragma once

#include "tymbal/geometry/edge.h"

namespace tymbal {

/// Least distance between any of their points, m; 0 where they meet. Exact for lines and arcs.
[[nodiscard]] double distance(const Edge& a, const Edge& b);

}  // namespace tymbal

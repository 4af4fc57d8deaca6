// Where the oxide between the holes goes last: local maxima of the distance to the nearest hole.
#pragma once

#include "tymbal/geometry/front.h"

#include <vector>

namespace tymbal {

/// One place where fronts from all sides meet last.
struct LastOxide {
    Point place;
    double clears_at = 0.0;  ///< undercut that removes it, m
};

struct Clearing {
    std::vector<LastOxide> spots;  ///< latest first
    double merges_at = 0.0;        ///< undercut from which all fronts are one region, m; 0 for a single hole
};

/// Exact for circles, where the places are those Voronoi vertices that lie between their holes; for squares and
/// hexagons found from there by climbing to 1e-6 of the distance.
[[nodiscard]] Clearing clearing(const PlacedHoles& holes);

}  // namespace tymbal

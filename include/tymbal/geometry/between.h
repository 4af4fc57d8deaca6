// How far two films on one chip stand apart.
#pragma once

#include "tymbal/geometry/edge.h"

namespace tymbal {

/// A film somewhere on the chip.
struct PlacedRim {
    const Boundary& rim;
    Point at;  ///< of its origin
};

/// Least distance between two rims, m; negative where a point of one lies inside the other. Found from points of each
/// rim, ends of lines among them: exact for polygons that do not overlap, a few per mille of a radius off for arcs.
/// @param enough  a distance that needs not be known better: films farther apart give a lower bound that exceeds it
[[nodiscard]] double distance_between(const PlacedRim& a, const PlacedRim& b, double enough);

}  // namespace tymbal

// How far two films on one chip stand apart.
#pragma once

#include "tymbal/geometry/edge.h"

namespace tymbal {

/// A film somewhere on the chip.
struct PlacedRim {
    const Boundary& rim;
    Point at;  ///< of its origin
};

/// Least distance between two rims, m, exact for lines and arcs; 0 where they meet, negative where one lies within the
/// other's film.
/// @param enough  a distance that needs not be known better: films farther apart give a lower bound that exceeds it
[[nodiscard]] double distance_between(const PlacedRim& a, const PlacedRim& b, double enough);

}  // namespace tymbal

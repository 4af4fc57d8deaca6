// The suspended area: rectangle, disc, ring, polygon or strip as drawn, or what the etch has set free. All but strips
// are clamped all round.
#pragma once

#include "tymbal/base/sourced.h"
#include "tymbal/geometry/edge.h"

#include <variant>
#include <vector>

namespace tymbal {

struct Rectangle {
    Sourced<Length> width;   ///< along x
    Sourced<Length> height;  ///< along y
    Length corner_radius;    ///< 0: sharp corners
};
struct Disc {
    Sourced<Length> diameter;
};
struct Ring {
    Sourced<Length> outer_diameter;
    Sourced<Length> inner_diameter;
};
struct Polygon {
    std::vector<Point> vertices;  ///< counter-clockwise after reading, simple, not closed (first vertex not repeated)
};

/// A string or ribbon: clamped at its two ends, its long sides free.
struct Strip {
    Sourced<Length> length;  ///< along x, between the clamps
    Sourced<Length> width;   ///< along y
};

/// All points within the undercut of a hole's edge; what is left standing between the fronts are inner loops.
struct Released {
    Boundary front;  ///< see geometry/front.h; not empty
    Sourced<Length> undercut;
};

using Outline = std::variant<Rectangle, Disc, Ring, Polygon, Strip, Released>;

}  // namespace tymbal

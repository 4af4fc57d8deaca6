// The suspended area as drawn: rectangle, disc, ring or polygon, clamped all round.
#pragma once

#include "tymbal/base/sourced.h"

#include <variant>
#include <vector>

namespace tymbal {

/// A point of the chip plane in metres; origin at the centre of rectangle, disc and ring, polygons as given.
struct Point {
    double x = 0.0;
    double y = 0.0;
};

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

using Outline = std::variant<Rectangle, Disc, Ring, Polygon>;

}  // namespace tymbal

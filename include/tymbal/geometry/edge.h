// Points, and the pieces of a rim: exact lines and arcs.
#pragma once

#include <vector>

namespace tymbal {

/// A point of the chip plane in metres; origin at the centre of rectangle, disc and ring, polygons as given.
struct Point {
    double x = 0.0;
    double y = 0.0;
};

/// One piece of the rim, from a to b with the film on its left: a straight line (radius 0) or an arc of at most a
/// quarter turn that is monotone in x and in y.
struct Edge {
    Point a, b;
    Point centre;         ///< of the arc
    double radius = 0.0;  ///< 0: straight
    bool outward = true;  ///< arc: the film lies on the centre's side (true) or outside the circle (false)
    int loop = 0;         ///< 0: outer rim, 1 and more: inner rims
};

using Boundary = std::vector<Edge>;

}  // namespace tymbal

// The rim of an outline as exact lines and arcs: inset copies, areas, and where grid lines cross it.
#pragma once

#include "tymbal/geometry/outline.h"

#include <vector>

namespace tymbal {

/// Where a grid line meets the rim.
struct Crossing {
    double at = 0.0;  ///< coordinate along the line, m
    Point normal;     ///< unit vector out of the film
    int loop = 0;
    double curvature = 0.0;  ///< of the rim, 1/m, positive where the film lies on the centre's side
};

/// The rim moved into the film by `inset_m` (>= 0); polygon corners are mitred, rounded corners keep their
/// centres; fronts of an etch see geometry/front.h.
/// @throws NoAnswer when nothing is left inside
[[nodiscard]] Boundary boundary(const Outline& outline, double inset_m = 0.0);

/// Crossings with the horizontal line y = level, sorted by x; the film lies between the 1st and 2nd, 3rd and 4th, ...
[[nodiscard]] std::vector<Crossing> cross_horizontal(const Boundary& rim, double level);
/// Crossings with the vertical line x = level, sorted by y.
[[nodiscard]] std::vector<Crossing> cross_vertical(const Boundary& rim, double level);

/// Area enclosed, m^2 (inner loops subtracted; exact for lines and arcs).
[[nodiscard]] double area(const Boundary& rim);
/// Length of the rim, all loops, m.
[[nodiscard]] double perimeter(const Boundary& rim);

struct Box {
    Point low, high;
};
[[nodiscard]] Box bounding_box(const Boundary& rim);
/// @param points  at least one
[[nodiscard]] Box bounding_box(const std::vector<Point>& points);

/// Distance of a point from the rim, positive inside the film, m.
[[nodiscard]] double signed_distance(const Boundary& rim, Point p);

}  // namespace tymbal

// The etch front: all points within the undercut of a hole's edge, as exact lines and arcs, and what is left between.
#pragma once

#include "tymbal/geometry/lattice.h"

#include <vector>

namespace tymbal {

/// Holes in place, all of one figure.
struct PlacedHoles {
    HoleShape shape = HoleShape::circle;
    double size = 0.0;       ///< diameter, side or width across flats, m
    double angle_rad = 0.0;  ///< of the figure
    std::vector<Point> centres;
};

[[nodiscard]] PlacedHoles placed(const HolePattern& pattern, const std::vector<Hole>& holes);

/// Distance of a point from the edge of the hole with this centre, m; zero inside the hole.
[[nodiscard]] double distance_to_hole(const PlacedHoles& holes, Point centre, Point p);

/// Rim of the union of all holes, each grown by `undercut` > 0 on every side: circles become larger circles, polygons
/// get rounded corners, so that lines and arcs represent it exactly; corners between fronts are good to rounding. Loops
/// are numbered by falling enclosed area: 0 is the largest outer rim; islands that no front has reached run clockwise.
/// @throws NoAnswer when fronts touch so closely that rounding cannot tell whether they have met
[[nodiscard]] Boundary front(const PlacedHoles& holes, double undercut);

/// A front moved into the film by `inset` > 0: all points at least that far from the rim. Arcs keep their
/// centres, corners become arcs round where they were.
/// @throws NoAnswer when a neck of the film is narrower than twice the inset
[[nodiscard]] Boundary inset_front(const Boundary& rim, double inset);

/// One closed curve of a rim.
struct Loop {
    int number = 0;
    double area = 0.0;  ///< m^2; positive: outer rim of a region, negative: an island inside one
    Point centre;       ///< of its bounding box
};

/// Loops in the order of the rim, whose edges must stand loop by loop.
[[nodiscard]] std::vector<Loop> loops(const Boundary& rim);

}  // namespace tymbal

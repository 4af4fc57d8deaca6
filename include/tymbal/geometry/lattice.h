// Lattice sites, the whole holes that fit inside an outline, and the part of the plane that belongs to each hole.
#pragma once

#include "tymbal/geometry/boundary.h"
#include "tymbal/geometry/holes.h"

#include <vector>

namespace tymbal {

/// One hole in place.
struct Hole {
    Point centre;
    bool second = false;  ///< honeycomb: the other of the two sites of a lattice cell
};

/// The whole holes of the pattern inside the rim: every hole edge at least `margin` from it (and inside `field` when
/// given), omitted sites left out. Order: by second, then first lattice index.
/// @throws NoAnswer when no hole fits or more than a million would
[[nodiscard]] std::vector<Hole> place_holes(const HolePattern& pattern, const Boundary& rim);

/// The whole holes inside the pattern's own `field`, or the listed ones: no outline is asked.
/// @throws NoAnswer as above
[[nodiscard]] std::vector<Hole> place_holes(const HolePattern& pattern);

/// Corners of the hole's figure about its centre, counter-clockwise, before turning by the lattice angle; empty for
/// circles.
[[nodiscard]] std::vector<Point> figure(HoleShape shape, double size);

/// The points nearer to this hole than to any other of a full lattice: a convex polygon, counter-clockwise.
[[nodiscard]] std::vector<Point> own_cell(const HolePattern& pattern, const Hole& hole);

/// Convex polygon clipped to a box.
[[nodiscard]] std::vector<Point> clip(std::vector<Point> polygon, const Box& box);
/// Area of a simple polygon, positive when its vertices run counter-clockwise.
[[nodiscard]] double polygon_area(const std::vector<Point>& polygon);

}  // namespace tymbal

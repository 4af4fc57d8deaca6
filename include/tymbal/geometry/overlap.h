// Impossible geometry: holes that touch, polygons that cross themselves.
#pragma once

#include "tymbal/geometry/holes.h"

#include <optional>
#include <vector>

namespace tymbal {

/// Do two equal holes overlap or touch when the second is moved by `offset` (in the frame of the figure, see `figure`)?
[[nodiscard]] bool holes_overlap(HoleShape shape, double size, Point offset);

/// Offsets (in units of the pitch, lattice frame) to the neighbours that a hole of a full lattice could touch first.
[[nodiscard]] std::vector<Point> neighbour_offsets(Lattice lattice);

/// Does the pattern's full lattice, or its list of holes, contain holes that overlap or touch?
[[nodiscard]] bool pattern_overlaps(const HolePattern& pattern);

/// Numbers of two edges (from vertex k to k + 1) that cross or touch without being neighbours, if there are such.
[[nodiscard]] std::optional<std::array<std::size_t, 2>> crossing_edges(const std::vector<Point>& vertices);

/// Area of a simple polygon, positive when its vertices run counter-clockwise.
[[nodiscard]] double signed_area(const std::vector<Point>& vertices);

}  // namespace tymbal

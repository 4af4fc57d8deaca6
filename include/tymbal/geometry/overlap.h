// Impossible geometry: holes that touch, polygons that cross themselves.
#pragma once

#include "tymbal/geometry/holes.h"

#include <optional>
#include <vector>

namespace tymbal {

/// Solid width between two equal holes when the second is moved by `offset` (in the frame of the figure, see `figure`);
/// zero or less when they touch or overlap. Between corners of hexagons a lower bound.
[[nodiscard]] double gap_between(HoleShape shape, double size, Point offset);

/// Least solid width between neighbouring holes of a full lattice, all in units of the pitch.
[[nodiscard]] double lattice_ligament(Lattice lattice, HoleShape shape, double size);

/// Offsets (in units of the pitch, lattice frame) to the neighbours that a hole of a full lattice could touch first.
[[nodiscard]] std::vector<Point> neighbour_offsets(Lattice lattice);

/// Does the pattern's full lattice, or its list of holes, contain holes that overlap or touch?
[[nodiscard]] bool pattern_overlaps(const HolePattern& pattern);

/// Numbers of two edges (from vertex k to k + 1) that cross or touch without being neighbours, if there are such.
[[nodiscard]] std::optional<std::array<std::size_t, 2>> crossing_edges(const std::vector<Point>& vertices);

}  // namespace tymbal

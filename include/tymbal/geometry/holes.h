// The hole pattern: lattice, hole figure, and the whole holes that fit into an outline.
#pragma once

#include "tymbal/geometry/outline.h"

#include <array>
#include <optional>
#include <vector>

namespace tymbal {

enum class Lattice { square, triangular, honeycomb, list };
enum class HoleShape { circle, square, hexagon };

/// Holes as they are in the released film. All sizes full widths in metres' type.
struct HolePattern {
    Lattice lattice = Lattice::square;
    HoleShape shape = HoleShape::circle;
    Sourced<Length> size;                        ///< diameter, side or width across flats
    Sourced<Length> pitch;                       ///< between nearest hole centres (unused for Lattice::list)
    double angle_rad = 0.0;                      ///< first lattice direction against x
    Length margin;                               ///< least solid width between hole edges and outline
    std::optional<std::array<Length, 2>> field;  ///< extent of the field, outermost hole edge to edge
    std::vector<Point> centres;                  ///< Lattice::list only
    std::vector<std::array<int, 2>> omit;        ///< lattice sites left out
};

}  // namespace tymbal

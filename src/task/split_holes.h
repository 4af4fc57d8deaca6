// Holes that meet an opening are part of it, the others are drawn by themselves.
#pragma once

#include "tymbal/geometry/lattice.h"
#include "tymbal/geometry/openings.h"

#include <vector>

namespace tymbal {

struct SplitHoles {
    std::vector<Hole> apart, meeting;
};

/// @param open  the figures of the openings, as released like the holes
[[nodiscard]] SplitHoles split_holes(const HolePattern& pattern, const std::vector<Hole>& holes,
                                     const std::vector<Figure>& open);

}  // namespace tymbal

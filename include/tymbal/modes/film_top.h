// Where a shape on a grid stands highest: on film, not at the nodes that a grid has beyond a free edge.
#pragma once

#include "tymbal/modes/find_modes.h"

namespace tymbal {

/// How deep each node lies in an opening, m: below zero beside one, -infinity where only film is near.
[[nodiscard]] std::vector<float> depth_in_openings(const Grid& grid, const std::vector<double>& film,
                                                   const std::vector<Figure>& openings);

/// Value of `w` where |w| is largest on the film: between nodes by the parabola through the highest one and its
/// neighbours, at free edges linear between the nodes on both sides. Second order in the spacing.
[[nodiscard]] double film_top(const Level& level, const Eigen::Ref<const Vector>& w);

}  // namespace tymbal

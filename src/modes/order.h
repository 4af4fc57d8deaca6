// Keeps modes apart whose frequencies change places from one grid to the next.
#pragma once

#include "tymbal/modes/find_modes.h"

#include <vector>

namespace tymbal {

/// For each mode of `known`, the mode of `level` (another grid over the same outline) that has its shape.
[[nodiscard]] std::vector<Eigen::Index> same_shapes(const Level& known, const Level& level);

/// Mode k of the level becomes its former mode order[k].
void reorder(Level& level, const std::vector<Eigen::Index>& order);

}  // namespace tymbal

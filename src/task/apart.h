// Which device of several disagrees with the others, and by how much.
#pragma once

#include "film_search.h"

namespace tymbal {

/// Of three devices or more, `DeviceComparison::apart` of each, and a warning about those that disagree.
void add_apart(const std::vector<Work>& works, const FoundFilm& found, Comparison& out);

}  // namespace tymbal

// How well the frequencies of a plan are known, also where the design states nothing.
#pragma once

#include "tymbal/task/solved.h"

#include <vector>

namespace tymbal {

/// No input of the design that a frequency feels carries a deviation.
[[nodiscard]] bool states_nothing(const ModeSet& set);

/// One sigma of each frequency, Hz, numerics included.
/// @param assumed  take the film to be known as well as its material row says, and its stress to 3 % (common practice
///                 for furnace films, no published source)
[[nodiscard]] std::vector<double> frequency_deviations(const Device& device, const Materials& materials,
                                                       const ModeSet& set, bool assumed);

}  // namespace tymbal

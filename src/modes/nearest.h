// Modes nearest to a frequency for solvers that know only the lowest ones: as many are found as it takes.
#pragma once

#include "tymbal/modes/find_modes.h"

namespace tymbal {

/// @param problem  with near_hz > 0
/// @throws NoAnswer as find_modes does, and when more modes lie below the frequency than are solved for
[[nodiscard]] ModeSet nearest_of_lowest(const ModeProblem& problem);

}  // namespace tymbal

// Lines out of what was measured: a list as it is, a spectrum's lines, the one mode of a ringdown.
#pragma once

#include "tymbal/fit/ringdown.h"

#include <optional>

namespace tymbal {

/// Fills `peaks`, says in the notes how, and drops the curve, which is large.
/// @return the decay of a ringdown
/// @throws NoAnswer  no line above the noise, or no decay
std::optional<Ringdown> extract_peaks(Measured& measured);

}  // namespace tymbal

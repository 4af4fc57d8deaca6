// Why a design is the recommended one, and what keeps it from being better.
#pragma once

#include "candidates.h"

#include <string>
#include <vector>

namespace tymbal {

/// Keys of the limits that a candidate only just holds.
[[nodiscard]] std::vector<std::string> binding_limits(const Choice& choice, const Candidate& c);

/// @param best, spot  the recommended design and its place in the free ranges
[[nodiscard]] std::string reason_for(const Choice& choice, const Candidate& best, const Spot& spot);

}  // namespace tymbal

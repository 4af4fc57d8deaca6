// The comparison in sentences: what the lines say about film and device, and what they leave open.
#pragma once

#include "tymbal/task/compare.h"

namespace tymbal {

[[nodiscard]] std::vector<std::string> verdict(const Comparison& comparison);
[[nodiscard]] std::vector<std::string> left_open(const Comparison& comparison);

}  // namespace tymbal

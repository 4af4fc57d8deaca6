// Where the inputs of a design come from.
#pragma once

#include "tymbal/task/predict.h"

#include <vector>

namespace tymbal {

/// Every input value with its deviation, SI unit and source.
[[nodiscard]] std::vector<SourceLine> list_sources(const Device& device, const Solid& substrate);

}  // namespace tymbal

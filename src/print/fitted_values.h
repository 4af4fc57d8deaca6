// Inputs of a fit before and after, with their units, for tables.
#pragma once

#include "tymbal/task/compare.h"

#include <string>

namespace tymbal {

[[nodiscard]] std::string designed_text(const FittedValue& value);
[[nodiscard]] std::string fitted_text(const FittedValue& value);

}  // namespace tymbal

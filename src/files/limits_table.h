// The limits of a design and how a result stands to them, as lines of a terminal page.
#pragma once

#include "tymbal/task/predict.h"

#include <ostream>

namespace tymbal {

/// Nothing when there are none.
void write_limits(std::ostream& out, const std::vector<LimitCheck>& limits);

}  // namespace tymbal

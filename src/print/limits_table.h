// The limits of a design and how a result stands to them, in words and as lines of a terminal page.
#pragma once

#include "tymbal/task/predict.h"

#include <ostream>
#include <string>

namespace tymbal {

/// A value of this limit's kind, with its unit.
[[nodiscard]] std::string limit_text(const LimitCheck& limit, double value);

/// "at least 1.000 um" or "at most 30 min".
[[nodiscard]] std::string limit_words(const LimitCheck& limit);

/// Nothing when there are none.
void write_limits(std::ostream& out, const std::vector<LimitCheck>& limits);

}  // namespace tymbal

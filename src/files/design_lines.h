// Changes as lines of a design file.
#pragma once

#include "tymbal/task/variation.h"

#include <string>

namespace tymbal {

/// "[outline]", then `width = "182.9301 um"` and so on, each line indented. Derived keys stand behind a "#": they say
/// what to do to the section's lengths.
[[nodiscard]] std::string design_lines(const Changes& changes, const std::string& indent);

/// One change as text: "182.9301 um", "0.145", "\"square\"".
[[nodiscard]] std::string value_text(const Change& change);

}  // namespace tymbal

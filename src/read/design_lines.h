// Changes as lines of a design file.
#pragma once

#include "tymbal/task/variation.h"

#include <optional>
#include <string>

namespace tymbal {

/// "[outline]", then `width = "182.9301 um"` and so on, each line indented. Derived keys stand behind a "#": they say
/// what to do to the section's lengths.
[[nodiscard]] std::string design_lines(const Changes& changes, const std::string& indent);

/// A change that holds a list as TOML, quantities in these quotes; empty for other changes.
[[nodiscard]] std::string toml_list(const Change& change, char quote);

/// One change as text: "182.9301 um", "800 +- 20 MPa", "0.145", "square", or a list in quotes. A deviation is that of a
/// number, in SI units like it.
[[nodiscard]] std::string value_text(const Change& change, const std::optional<double>& deviation = std::nullopt);

}  // namespace tymbal

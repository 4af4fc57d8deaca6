// A design file with the answer of a search put in: only the values that change, everything else as it was written.
#pragma once

#include "tymbal/base/material.h"
#include "tymbal/task/variation.h"

#include <string>

namespace tymbal {

/// The file's text with new values in their lines: deviations and comments stay, numbers come in micrometres or SI
/// units. A key that the file leaves to its default gets a line of its own below its section's heading.
/// @throws InputError for derived keys (all lengths times a number) and sections that are not written as tables, and
/// when what results is no sound design
[[nodiscard]] std::string changed_design(const std::string& path, const Changes& changes, const Materials& materials);

}  // namespace tymbal

// A design file with the answer of a search put in: only the values that change, everything else as it was written.
#pragma once

#include "tymbal/base/material.h"
#include "tymbal/read/design.h"
#include "tymbal/task/variation.h"

#include <string>

namespace tymbal {

/// The file's text with new values in their places: deviations, quotes, comments and line ends stay, numbers come in
/// micrometres or SI units. A key that the file leaves to its default gets a line of its own below its section's
/// heading, a section that it does not have comes last.
/// @throws InputError for derived keys (all lengths times a number), and when what results is no sound design
[[nodiscard]] std::string changed_design(const std::string& path, const Changes& changes, const Materials& materials,
                                         const ReadLimits& limits = {});

}  // namespace tymbal

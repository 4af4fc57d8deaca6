// A design file as a checked struct: what comes out of here is consistent, and nothing below asks again.
#pragma once

#include "tymbal/task/design.h"

#include <string>

namespace tymbal {

/// @throws InputError naming file, line and key for anything unknown, misspelt, out of range or impossible
[[nodiscard]] Design read_design(const std::string& path, const Materials& materials);

/// The same from text; `path` is only named in messages.
[[nodiscard]] Design parse_design(const std::string& text, const std::string& path, const Materials& materials);

}  // namespace tymbal

// Texts inside XML and HTML.
#pragma once

#include <string>

namespace tymbal {

/// The text with the signs that markup takes for itself written out, and blanks for control characters.
[[nodiscard]] std::string markup_text(const std::string& text);

}  // namespace tymbal

// Fingerprint of a file's text.
#pragma once

#include <string>

namespace tymbal {

/// Lower-case hex digits of the SHA-256 digest.
[[nodiscard]] std::string sha256_hex(const std::string& text);

}  // namespace tymbal

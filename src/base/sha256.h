// The fingerprint that results carry of what they were made from.
#pragma once

#include <string>

namespace tymbal {

/// SHA-256 of the bytes, in lower-case hexadecimal digits.
[[nodiscard]] std::string sha256_hex(const std::string& bytes);

}  // namespace tymbal

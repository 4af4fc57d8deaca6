// Bytes as text that fits into a page.
#pragma once

#include <cstdint>
#include <string>
#include <vector>

namespace tymbal {

/// RFC 4648, section 4, with padding.
[[nodiscard]] std::string base64(const std::vector<std::uint8_t>& bytes);

}  // namespace tymbal

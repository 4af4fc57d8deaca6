// What the TOML library would choke on, refused first: bytes that are not UTF-8 (it reads out of bounds when it meets
// them in single quotes), very long lines (it copies the line for every text in it) and deep nesting (it recurses).
#pragma once

#include <cstddef>
#include <string>

namespace tymbal {

/// @throws InputError for bytes that are not UTF-8, a line of more than 16 KiB or brackets nested more than 32 deep
void require_digestible_toml(const std::string& text, const std::string& path);

/// Bytes of the character of UTF-8 that begins at `from`, zero when none does: Unicode 15, table 3-7.
[[nodiscard]] std::size_t character_length(const std::string& text, std::size_t from);

}  // namespace tymbal

// Tables for whoever sits at the other end: as wide as the terminal, coloured where that is welcome.
#pragma once

#include <cstddef>
#include <functional>
#include <ostream>
#include <string>

namespace tymbal {

/// Writes a table to standard output. On a terminal it may use the width there is (at most 160 columns) and colour,
/// unless NO_COLOR is set or the terminal has none; anywhere else it has 80 columns and plain text.
void show(const std::function<void(std::ostream&)>& write);

/// Columns that output may use: of the terminal, 80 to 160; 80 anywhere else.
[[nodiscard]] std::size_t columns();

/// Headings (lines that begin with a word in capitals) bold, BROKEN red, the mark of a warning yellow.
[[nodiscard]] std::string coloured(const std::string& text);

}  // namespace tymbal

// How wide the tables on a stream may be: eighty columns, unless whoever owns the stream knows of more.
#pragma once

#include <cstddef>
#include <ios>

namespace tymbal {

/// Columns of a page that every terminal and every mail shows.
inline constexpr std::size_t page = 80;

/// A property of the one stream, as its precision is; tables use what is beyond 80 columns for more figures and longer
/// lines. @param columns  less than 80 counts as 80
void set_page_width(std::ios_base& stream, std::size_t columns);
[[nodiscard]] std::size_t page_width(std::ios_base& stream);

}  // namespace tymbal

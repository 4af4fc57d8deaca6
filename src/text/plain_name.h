// Names of chips and what goes with them, which stand in tables, messages and file lists.
#pragma once

#include <string>

namespace tymbal {

/// What is wrong with a name, in words; empty: nothing.
[[nodiscard]] std::string name_fault(const std::string& name);

/// The text with a blank for each control character and "?" for each byte that is not UTF-8: records come from
/// strangers, and a terminal obeys.
[[nodiscard]] std::string printable(const std::string& text);

}  // namespace tymbal

// Finding a mode by the name people give it.
#pragma once

#include "tymbal/modes/modes.h"

#include <optional>
#include <string>
#include <vector>

namespace tymbal {

/// Is this the mode called "(2,1)", "2,1", "3" (the third by rising frequency) or "" (the lowest)?
[[nodiscard]] bool has_name(const Mode& mode, const std::string& name);

/// Place in `modes` of the one with this name; nothing when there is none.
[[nodiscard]] std::optional<std::size_t> find_mode(const std::vector<Mode>& modes, const std::string& name);

/// A name that stays with the mode when others overtake it: its label, or its number where labels only number.
[[nodiscard]] std::string lasting_name(const Mode& mode);

/// The labels there are, for messages.
[[nodiscard]] std::string list_labels(const std::vector<Mode>& modes);

}  // namespace tymbal

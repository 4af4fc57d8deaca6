// Files that a design or chip names: beside or below the one that names them, since both may come from strangers.
#pragma once

#include "../text/toml_table.h"

#include <string>

namespace tymbal {

/// The path that `key` of `table` names, seen from where the program runs.
/// @param otherwise  what else the user can do, ends the message; may be empty
/// @throws InputError for a path that leaves the folder of the file that names it, be it through a link
[[nodiscard]] std::string path_beside(const TomlTable& table, const std::string& key,
                                      const std::string& otherwise = "");

}  // namespace tymbal

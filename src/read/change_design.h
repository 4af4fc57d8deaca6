// Puts changed values into a parsed design file before it is read, so that the reader checks them like written ones.
#pragma once

#include "tymbal/task/variation.h"

#include <toml.hpp>

namespace tymbal {

/// Plain keys first, then holes.fill_factor, then the scales: the order of `changes` does not matter.
/// @throws InputError for a key that is unknown, or that holds a list in the file at `path`
void apply_changes(toml::value& root, const std::string& path, const Changes& changes);

/// Whether a change gives a key of lists its list as a design file has it: "[[0, 1], [1, 0]]".
[[nodiscard]] bool is_list_text(const Change& change);

}  // namespace tymbal

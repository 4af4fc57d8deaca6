// Puts changed values into a parsed design file before it is read, so that the reader checks them like written ones.
#pragma once

#include "tymbal/task/variation.h"

#include <toml.hpp>

namespace tymbal {

/// Plain keys first, then holes.fill_factor, then the scales: the order of `changes` does not matter.
/// @throws InputError for a key that is unknown, or that holds a list in the file at `path`
void apply_changes(toml::value& root, const std::string& path, const Changes& changes);

}  // namespace tymbal

// Puts changed values into a parsed design file before it is read, so that the reader checks them like written ones.
#pragma once

#include "tymbal/task/variation.h"

#include <toml.hpp>

namespace tymbal {

/// Plain keys first, then holes.fill_factor, then the scales: the order of `changes` does not matter.
/// @throws InputError for a key that is unknown or holds a list
void apply_changes(toml::value& root, const Changes& changes);

}  // namespace tymbal

// Parts that the JSON of a pattern and of a chip's share.
#pragma once

#include "json_parts.h"

#include "tymbal/mask/write_gdsii.h"
#include "tymbal/task/pattern.h"

namespace tymbal {

[[nodiscard]] Json check_json(const PatternCheck& check);
[[nodiscard]] Json witness_json(const PlacedWitness& witness);
/// Adds `layers` and `datatypes`, by kind of figure.
void add_layers(Json& root, const LayerNumbers& layers);

}  // namespace tymbal

// The figure of a design: outline and hole pattern, with everything that geometry forbids.
#pragma once

#include "design_table.h"

#include "tymbal/geometry/holes.h"

namespace tymbal {

[[nodiscard]] Outline read_outline(const DesignSection& section);
/// @throws InputError too for holes that overlap or lie outside the outline
[[nodiscard]] HolePattern read_holes(const DesignSection& section, const Outline& outline);

}  // namespace tymbal

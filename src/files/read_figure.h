// The figure of a design: outline and hole pattern, with everything that geometry forbids.
#pragma once

#include "design_table.h"

#include "tymbal/geometry/holes.h"
#include "tymbal/release/hole_sizes.h"

namespace tymbal {

[[nodiscard]] Outline read_outline(const DesignSection& section);
/// @param process  adds its biases to the size that a file of holes draws
/// @throws InputError too for holes that overlap or lie outside the outline
[[nodiscard]] HolePattern read_holes(const DesignSection& section, const Outline& outline,
                                     const std::optional<Process>& process);
/// Path of the file that lattice = "file" names, seen from where the program runs; empty for other lattices.
/// @throws InputError for a path that leaves the design's folder
[[nodiscard]] std::string hole_file_path(const DesignSection& section);

}  // namespace tymbal

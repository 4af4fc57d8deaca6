// The figure of a design: outline and hole pattern, with everything that geometry forbids.
#pragma once

#include "design_table.h"

#include "tymbal/geometry/holes.h"
#include "tymbal/geometry/openings.h"
#include "tymbal/release/hole_sizes.h"

namespace tymbal {

/// Is the outline what the etch sets free round the holes? Then it follows from [holes] and [release].
[[nodiscard]] bool is_hole_field(const DesignSection& section);
/// Words that outline.shape may be.
[[nodiscard]] const std::vector<std::string>& outline_shapes();
/// All other shapes.
[[nodiscard]] Outline read_outline(const DesignSection& section);
/// Corners of a simple polygon, made counter-clockwise. @throws InputError for what is none
[[nodiscard]] std::vector<Point> read_area(const DesignSection& section, const std::string& key);
/// @param outline  empty when it is what the etch sets free round the holes
/// @param wet      growth of each edge in the wet etch, see wall_recession
/// @param process  adds its biases to the size that a file of holes draws
/// @param hole_file  see hole_file_path
/// @throws InputError too for holes that overlap or lie outside the outline
[[nodiscard]] HolePattern read_holes(const DesignSection& section, const std::optional<Outline>& outline,
                                     const std::optional<Process>& process, const HoleSize& wet,
                                     const std::string& hole_file);
/// One [[openings]] table. @param outline  that it must meet
[[nodiscard]] Opening read_opening(const DesignSection& section, const Outline& outline);
/// Path of the file that lattice = "file" names, seen from where the program runs; empty for other lattices.
/// @param named_by_user  taken instead of the design's when not empty
/// @throws InputError for a path that leaves the design's folder, be it through a link
[[nodiscard]] std::string hole_file_path(const DesignSection& section, const std::string& named_by_user);

}  // namespace tymbal

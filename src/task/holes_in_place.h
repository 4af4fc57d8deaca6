// A design's holes where they stand, and the problem of their lattice's cell.
#pragma once

#include "tymbal/film/unit_cell.h"
#include "tymbal/task/device.h"

#include <vector>

namespace tymbal {

/// A pattern's holes in place: inside the outline, or, where the outline follows from them, inside their own field.
/// @throws NoAnswer see place_holes
[[nodiscard]] std::vector<Hole> place(const HolePattern& holes, const Outline& outline);
[[nodiscard]] PlacedHoles holes_in_place(const Device& device);

/// Unit cell problem of a pattern in a film: hole size and edge layer in units of the pitch.
[[nodiscard]] CellProblem cell_problem(const Film& film, const HolePattern& holes, double accuracy);

}  // namespace tymbal

// What a chip carries besides its devices: marks where the file puts them, frame, label, names and witnesses.
#pragma once

#include "tymbal/task/chip_pattern.h"

#include <vector>

namespace tymbal {

/// @throws InputError naming a letter of label or names that has no strokes
void require_letters(const ChipDesign& chip, const ChipPatternOptions& options);

/// Adds cells to the drawing and returns where they stand. `out` has its devices.
/// @throws NoAnswer for overlaps and for witnesses without room
[[nodiscard]] std::vector<Placement> furnish(const ChipDesign& chip, const ChipPatternOptions& options,
                                             ChipPattern& out);

}  // namespace tymbal

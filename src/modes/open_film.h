// A film with every opening on the grid, before anything is solved on it.
#pragma once

#include "tymbal/modes/find_modes.h"

namespace tymbal {

/// A level that knows its nodes, film, mass and how deep nodes lie in openings; nothing that a solution tells.
/// @throws NoAnswer when nothing is held
[[nodiscard]] Level lay_open_film(const ModeProblem& problem, int cells_x, int cells_y);

}  // namespace tymbal

// A film with every opening on the grid: laid out and relaxed, its shapes to come from one solver or the other.
#pragma once

#include "tymbal/modes/find_modes.h"

namespace tymbal {

struct OpenFilm {
    Level level;          ///< without values, shapes, interior and layers
    CornerTensor raised;  ///< by how much slack corners were raised, see relax_resolved
};

/// @throws NoAnswer without tension, when nothing is held, or when the film cannot be balanced
[[nodiscard]] OpenFilm lay_open_film(const ModeProblem& problem, int cells_x, int cells_y);

/// Curvature energy and clamped layer of the level's values and shapes, by tension's first order.
void add_open_bending(const ModeProblem& problem, Level& level);

}  // namespace tymbal

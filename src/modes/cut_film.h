// Modes of films that openings or etch fronts cut, found by tymbal::spline: stress, bending and shapes on one space.
#pragma once

#include "tymbal/modes/buckling.h"
#include "tymbal/modes/find_modes.h"

namespace tymbal {

/// Films with openings that the direct solution can take; others keep the grids of find_modes.
[[nodiscard]] bool cut_film_served(const ModeProblem& problem);

/// @throws UnstableFilm, and NoAnswer when nothing is held or memory does not suffice
[[nodiscard]] ModeSet cut_film_modes(const ModeProblem& problem);

/// See buckling_stress.
[[nodiscard]] CriticalStress cut_film_buckling(const ModeProblem& problem);

}  // namespace tymbal

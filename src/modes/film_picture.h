// What tables, maps and pictures show of a film that tymbal::spline has solved, on a raster of its own.
#pragma once

#include "tymbal/modes/find_modes.h"

#include "../spline/film_modes.h"

namespace tymbal {

/// A level without matrices and layers: the film's tension and shapes read off the splines.
/// @param cells_x, cells_y  across the outline's box
[[nodiscard]] Level film_picture(const spline::FilmModes& found, const ModeProblem& problem, int cells_x, int cells_y);

}  // namespace tymbal

// What the inputs of a film that tymbal::spline has solved do to its modes.
#pragma once

#include "tymbal/modes/find_modes.h"

#include "../spline/film_modes.h"

namespace tymbal {

/// What the forms need to know of a film.
[[nodiscard]] spline::Sheet sheet_of(const PaintedFilm& film);

/// Sensitivities of all modes found. @param problem  as it was asked, a strip not framed
[[nodiscard]] std::vector<Sensitivity> cut_film_sensitivities(const spline::FilmModes& found,
                                                              const ModeProblem& problem);

}  // namespace tymbal

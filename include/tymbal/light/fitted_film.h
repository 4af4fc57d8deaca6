// A film with a lattice of holes over a range of wavelengths, from some twenty solutions.
#pragma once

#include "tymbal/light/film_light.h"
#include "tymbal/light/lines.h"

#include <functional>

namespace tymbal {

/// see_lattice by rational fits between the wavelengths at which orders begin to run away; holds what it needs.
/// Diffracted and absorbed power are left at 0.
/// @param film  in vacuum: without substrate
[[nodiscard]] std::function<SeenFilm(double)> fit_film(const HoleLattice& holes, const LayeredFilmAt& film,
                                                       WavelengthRange range);

}  // namespace tymbal

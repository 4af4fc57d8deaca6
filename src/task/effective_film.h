// The released film in the large: relaxed stress, tension and effective stiffness.
#pragma once

#include "tymbal/task/laid_film.h"
#include "tymbal/task/stress_map.h"

namespace tymbal {

/// Film block of the prediction. @param fine  finest grid of the modes @param stress  on it
[[nodiscard]] EffectiveFilm effective_film(const Device& device, const FilmOnOutline& laid, const Level& fine,
                                           const StressMap& stress);

/// Resolved model: mean stress and the peak's error as all grids tell them, not the level of effective_film alone.
void take_grids_stress(const ModeSet& set, EffectiveFilm& film);

}  // namespace tymbal

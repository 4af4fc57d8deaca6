// What static loads do to the film: a pressure, a spot of light, a liquid.
#pragma once

#include "tymbal/task/laid_film.h"

namespace tymbal {

/// Stiffness of a level for static answers.
[[nodiscard]] SparseMatrix static_stiffness(const Level& level);

/// Force of unit pressure on each node, m^2: it acts on the film that is there, not on what is open, whether holes are
/// averaged over their cell or resolved.
[[nodiscard]] Vector pressure_load(const Level& level, const PaintedFilm& film);

/// Area of each node that a liquid wets, m^2: holes included, averaged or resolved, where they are carried by the film
/// beside them (resolved: in proportion). On the safe side, see WetFilm.
[[nodiscard]] Vector wetted_area(const Level& level, double outline_area);

/// Static stiffness under the spot and deflection per pressure; may solve on a finer grid when the spot is small.
void add_static_answers(const Device& device, const FilmOnOutline& laid, const Level& fine, RimTreatment rim,
                        EffectiveFilm& film, Warnings& warnings);

/// The same of a film whose modes' grids have answered.
void add_static_answers(const Device& device, const CutFilmStress& found, EffectiveFilm& film, Warnings& warnings);

}  // namespace tymbal

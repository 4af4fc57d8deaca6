// Where film and plate theory reach their limits in a design.
#pragma once

#include "tymbal/task/laid_film.h"

namespace tymbal {

/// Compressed regions, stress near fracture, thick plates, pitch against wavelength, holes inside the edge layer, and
/// what release_warnings says.
[[nodiscard]] Warnings validity_warnings(const Device& device, const FilmOnOutline& laid, const ModeSet& set,
                                         const EffectiveFilm& film);

/// What a film with layers on it must be warned about; nothing without layers.
[[nodiscard]] Warnings layer_warnings(const Film& film);
/// The same for layers over parts of the film.
[[nodiscard]] Warnings patch_warnings(const Device& device, const EffectiveFilm& film);

}  // namespace tymbal

// The released film on one grid, wet: what `tymbal release` tells of it, and the collapse margin that a design may
// limit.
#pragma once

#include "tymbal/release/drying.h"
#include "tymbal/task/laid_film.h"

#include <optional>

namespace tymbal {

inline constexpr int release_cells = 64;  ///< across the outline's longer side: a few per cent of collapse and adhesion
inline constexpr int coarser_release_cells = 44;

/// The film's lowest mode and its stiffness. @param longer  cells across the outline's longer side
[[nodiscard]] Level solve_once(const Device& device, const FilmOnOutline& laid, int longer);

/// @throws NoAnswer when pillars, holes or the film between them are finer than the grid
void require_visible(const Device& device, const FilmOnOutline& laid);

/// @param design  with [release]
[[nodiscard]] WetFilm wet_film(const Device& device, const FilmOnOutline& laid, const Level& level);

/// Critical over actual surface tension of the liquid that release.drying names; infinite when that has no meniscus,
/// empty without such a liquid. @throws NoAnswer see require_visible and collapse_limits
[[nodiscard]] std::optional<double> collapse_margin(const Device& device, const FilmOnOutline& laid);

}  // namespace tymbal

// Film without tension: told from film that is taut, and held up so that its modes have a shape.
//
// Tension alone holds no compressed film flat, however short the wrinkles; bending does where the compressed parts are
// small. Their principal tensions are therefore raised to next to nothing (a thousandth of the deposited one), and what
// that adds is kept, so that the caller can tell how much hangs on it.
#pragma once

#include "tymbal/film/prestress.h"
#include "tymbal/grid/corner_tension.h"

namespace tymbal {

/// Raises what is slack by the mean tension round a node: single corners in cells that a taut edge cuts have next to
/// none, of either sign, and raising those would put a kink at every edge.
/// @param corners  the film's relaxed tension at its nodes' corners, raised in place
/// @param raised   by how much, added to; empty where nothing is or was raised
void raise_slack(const PaintedFilm& film, const Grid& grid, const FilmMap& map, unsigned threads, CornerTensor& corners,
                 CornerTensor& raised);

/// Raises every corner so, for grids on which the compressed ones that are left make the film unstable: flaps and
/// slivers of a cell. Curvature at taut edges is of first order only then.
void raise_all(const PaintedFilm& film, const Grid& grid, const FilmMap& map, CornerTensor& corners,
               CornerTensor& raised);

}  // namespace tymbal

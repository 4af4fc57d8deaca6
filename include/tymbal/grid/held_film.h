// The part of a grid that carries film: nodes in openings, and film that nothing holds, are left out.
#pragma once

#include "tymbal/grid/grid.h"

#include <vector>

namespace tymbal {

struct HeldFilm {
    Grid grid;                 ///< the nodes that hang together with the rim; arms towards the others are free
    std::vector<double> film;  ///< part of each cell that is film and held
    double loose_area = 0.0;   ///< m^2 of film that openings cut off from the rim
};

/// @param film  part of each cell that is film, order grid.cell(i, j)
/// @throws NoAnswer when no film is held
[[nodiscard]] HeldFilm held_film(Grid grid, std::vector<double> film);

}  // namespace tymbal

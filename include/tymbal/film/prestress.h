// The tension left in the film after it has relaxed in its plane against the clamped rim.
#pragma once

#include "tymbal/film/film_map.h"
#include "tymbal/film/in_plane.h"
#include "tymbal/grid/corner_tension.h"

#include <functional>

namespace tymbal {

/// Tension on the cells of one grid, and readable anywhere in the outline.
struct TensionField {
    Grid grid;
    CellTensor tension;       ///< N/m, macroscopic (voids counted as zero), order grid.cell(i, j)
    std::vector<bool> known;  ///< cells with at least one node inside; the others copy their neighbours

    /// Linear between cell centres, constant beyond the outermost ones.
    [[nodiscard]] std::array<double, 3> at(Point p) const;
};

/// Gives cells outside the rim the mean of their known neighbours, layer by layer.
void extend(TensionField& field);

/// Mean of each cell's corners. Threads change no digit.
[[nodiscard]] TensionField gathered(const Grid& grid, const CornerTensor& corners, unsigned threads = 1);

/// Tension pull + C : strain(u) gathered on the cells. @param pull  see InPlane::balance
[[nodiscard]] TensionField tension_field(const Grid& grid, const InPlane& solver, const Vector& u,
                                         const std::function<std::array<double, 3>(const Quadrant&)>& pull);

/// Solves div(C : (strain + strain_0)) = 0 with the rim fixed, where strain_0 = stress (1 - nu)/E is the strain the
/// deposition left in the film. Finite differences of the in-plane displacement on the same arms as the transverse
/// operators. A film without holes keeps its stress exactly.
/// @throws NoAnswer when the in-plane matrix cannot be factored
[[nodiscard]] TensionField relax(const PaintedFilm& film, const Grid& grid, const FilmMap& map);

/// The field at the cell centres of another grid over the same outline.
[[nodiscard]] CellTensor sampled(const TensionField& field, const Grid& grid);

}  // namespace tymbal

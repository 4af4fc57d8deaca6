// The tension left in a film that carries every hole on its grid, after it has relaxed in its plane: conjugate
// gradients with a multigrid cycle, for grids too large to factor.
#pragma once

#include "tymbal/film/unit_cell.h"
#include "tymbal/grid/lattice_modes.h"
#include "tymbal/grid/stencil.h"

#include <cstddef>
#include <vector>

namespace tymbal {

/// A film of one solid with holes, as deposited.
struct StretchedFilm {
    Voigt stiffness{};      ///< of the solid, tension (N/m) per strain (xx, yy, gamma_xy)
    double strain_0 = 0.0;  ///< equal-biaxial strain that deposition left
};

struct RelaxOptions {
    double residual = 1e-6;  ///< of the balance of forces, relative to the load; moves frequencies by about 1e-9
    int largest_steps = 200;
};

struct Relaxed {
    CellTensor tension;  ///< N/m, voids counted as zero, as tension_field gathers it
    int steps = 0;
    double residual = 0.0;
    std::size_t bytes = 0;  ///< largest that the solver held at a time
};

/// Solves div(C : (strain + strain_0)) = 0 with the rim fixed; the same finite differences as relax in
/// film/prestress.h.
/// @param share  part of each cell that is film, 0 to 1; cells without film need not be connected to anything
/// @throws NoAnswer when the iteration stagnates or was stopped
[[nodiscard]] Relaxed relax(const RectangleCells& cells, const std::vector<double>& share, const StretchedFilm& film,
                            const RelaxOptions& options = {}, const SolveEffort& effort = {});

/// The same over any outline: the displacement, m, 2 n along x and 2 n + 1 along y of the grid's node n.
[[nodiscard]] Vector relaxed_displacement(const Grid& grid, const std::vector<double>& share, const StretchedFilm& film,
                                          const RelaxOptions& options = {}, const SolveEffort& effort = {});

/// Bytes that relax will hold at its peak for a rectangle, its result included; within a few percent.
[[nodiscard]] std::size_t relax_bytes(const RectangleCells& cells);

}  // namespace tymbal

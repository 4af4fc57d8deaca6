// A symmetric nine-point matrix on a uniform lattice of nodes, held without node lists: what fits when every hole is
// on the grid.
#pragma once

#include "tymbal/grid/corner_tension.h"
#include "tymbal/grid/pages.h"

#include <cstddef>
#include <vector>

namespace tymbal {

/// One node's own weights; those of the other four neighbours are held by the neighbours.
template <class Weight>
struct HalfStar {
    Weight centre{}, east{}, north{}, north_east{}, north_west{};
};

/// Nodes (i, j), 0 <= i < columns, 0 <= j < rows, with a frame of zero nodes around them, so that no kernel asks where
/// the lattice ends. A node whose centre is zero carries no film and is no unknown.
template <class Weight>
struct Stencil {
    int columns = 0;
    int rows = 0;
    PageVector<HalfStar<Weight>> star;  ///< order at(i, j), frame included

    Stencil() = default;
    Stencil(int columns_, int rows_)
        : columns(columns_),
          rows(rows_),
          star(static_cast<std::size_t>(columns_ + 2) * static_cast<std::size_t>(rows_ + 2)) {}
    [[nodiscard]] std::size_t stride() const { return static_cast<std::size_t>(columns) + 2; }
    [[nodiscard]] std::size_t at(int i, int j) const {
        return static_cast<std::size_t>(i + 1) + stride() * static_cast<std::size_t>(j + 1);
    }
};

/// Stiffness and lumped mass of a film on a lattice: K w = lambda M w.
struct LatticeFilm {
    Stencil<double> stiffness;
    PageVector<double> mass;  ///< order stiffness.at(i, j)

    /// Nodes that carry film.
    [[nodiscard]] std::size_t unknowns() const;
};

/// The matrices of tension_matrix and mass_vector, on the lattice of all nodes strictly inside the grid's box: node
/// (i, j) here is node (i + 1, j + 1) of the grid.
[[nodiscard]] LatticeFilm lattice_film(const Grid& grid, const CellTensor& tension,
                                       const std::vector<double>& areal_density);

/// The same from the tension at corners, see grid/corner_tension.h. Threads change no digit.
[[nodiscard]] LatticeFilm corner_lattice_film(const Grid& grid, const CornerTensor& tension,
                                              const std::vector<double>& areal_density, unsigned threads);

/// Cells of a rectangle whose rim lies on the outermost grid lines; cell (i, j) at i + columns * j.
struct RectangleCells {
    int columns = 0;  ///< of cells, at least 4
    int rows = 0;
    double dx = 0.0, dy = 0.0;  ///< m
};

/// The same straight from the cells of a rectangle: (columns - 1) x (rows - 1) nodes.
/// @param tension        N/m, already multiplied by the part of the cell that is film
/// @param areal_density  kg/m^2, likewise
[[nodiscard]] LatticeFilm lattice_film(const RectangleCells& cells, const CellTensor& tension,
                                       const std::vector<double>& areal_density, unsigned threads = 1);

/// A lattice film as sparse matrices, for direct solvers; `place` holds at(i, j) of each unknown.
struct SparseFilm {
    SparseMatrix stiffness;
    Vector mass;
    std::vector<std::size_t> place;
};
[[nodiscard]] SparseFilm to_sparse(const LatticeFilm& film);

}  // namespace tymbal

// The film painted on a grid: mass, in-plane and bending stiffness of each cell, hole field and solid margin mixed.
#pragma once

#include "tymbal/film/film.h"
#include "tymbal/film/unit_cell.h"
#include "tymbal/geometry/lattice.h"
#include "tymbal/geometry/openings.h"
#include "tymbal/grid/operators.h"

#include <optional>
#include <vector>

namespace tymbal {

/// A part of the film that carries more layers: the equivalent film there.
struct PaintedPatch {
    std::vector<Point> area;                                                                  ///< counter-clockwise
    double thickness = 0.0, modulus = 0.0, poisson_ratio = 0.0, stress = 0.0, density = 0.0;  ///< SI
    [[nodiscard]] double bending() const;                                                     ///< N m
};

/// A film with or without a hole field, ready to be painted on any grid.
struct PaintedFilm {
    double thickness = 0.0;  ///< m
    double modulus = 0.0;    ///< Young's modulus of the solid, Pa
    double poisson_ratio = 0.0;
    double stress = 0.0;                    ///< as deposited, equal-biaxial, Pa
    double density = 0.0;                   ///< kg/m^3
    std::optional<CellFilm> cell;           ///< of the hole field, in the lattice's frame
    double angle_rad = 0.0;                 ///< of the lattice
    std::vector<std::vector<Point>> field;  ///< the holes' own cells, convex polygons that do not overlap
    std::vector<Figure> openings{};       ///< resolved model: everything open in the film; then without cell and field
    double narrowest = 0.0;               ///< with openings: least width of one of them or of the film between, m
    std::vector<PaintedPatch> patches{};  ///< without holes only; areas do not overlap

    [[nodiscard]] double bending() const;  ///< E h^3/(12 (1 - nu^2)), N m
};

/// Per grid cell, order grid.cell(i, j).
struct FilmMap {
    std::vector<double> field;          ///< part of the cell that belongs to the hole field
    std::vector<double> areal_density;  ///< kg/m^2
    CellStiffness in_plane;             ///< tension (N/m) per strain (xx, yy, gamma_xy)
    CellStiffness bending_difference;   ///< N m, on top of the solid film; empty without holes
    double rim_bending = 0.0;           ///< of the solid film, N m
    std::vector<double> film{};         ///< resolved model: part of the cell that is film; empty otherwise
    CellTensor pull{};                  ///< tension of the unrelaxed film, N/m; empty without patches: even
};

/// Which bending stiffness the hole field has.
enum class FieldBending {
    plate,           ///< of the plate cell problem: what carries load when bending dominates
    tension_driven,  ///< curvature energy of the shape that tension dictates: what counts for loss
};

/// Patches enter each cell by their exact share, mixed across the edge like layers; the deposited tension of a mixed
/// cell follows from its stiffness (Levin's relation for two phases; Milton, The Theory of Composites, ch. 5, from
/// memory). The bending of the film by the patch's own moment is left out.
/// Threads change no digit.
[[nodiscard]] FilmMap paint(const PaintedFilm& film, const Grid& grid, FieldBending bending, unsigned threads = 1);

/// Stiffness of two films meeting at a straight line inside a cell, the line's unit normal given: exact for layers,
/// because traction and the strain along the line are continuous (rank-one laminate; Milton, The Theory of Composites,
/// ch. 9, from memory, re-derived).
[[nodiscard]] Voigt laminate(const Voigt& a, const Voigt& b, double share_of_b, Point normal);

}  // namespace tymbal

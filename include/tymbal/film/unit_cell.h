// One lattice cell with its hole: effective in-plane and bending stiffness of the perforated film and the stress at the
// hole's edge, by finite differences on the periodic cell.
#pragma once

#include "tymbal/geometry/holes.h"

#include <array>
#include <functional>
#include <vector>

namespace tymbal {

/// Symmetric 3 x 3 matrix acting on (xx, yy, xy) columns, row-major; shear strain is the engineering strain
/// gamma = 2 eps_xy, twist is 2 w_xy.
using Voigt = std::array<std::array<double, 3>, 3>;
using Voigt3 = std::array<double, 3>;

/// What is to be solved: the cell in its own frame, first lattice direction along x. Lengths in units of the pitch.
struct CellProblem {
    Lattice lattice = Lattice::square;  ///< square, triangular or honeycomb
    HoleShape shape = HoleShape::circle;
    double size = 0.0;  ///< hole diameter / side / across flats over pitch, 0 < size < 1
    double poisson_ratio = 0.25;
    double layer = 0.0;      ///< sqrt(D/N) of the solid film over pitch, N the mean tension; infinity: no tension
    double accuracy = 1e-3;  ///< relative, on the effective stiffnesses
};

/// Results for a film of unit Young's modulus times thickness (in-plane) and unit D = E h^3/12(1-nu^2) (bending).
struct CellFilm {
    double open_fraction = 0.0;  ///< hole area over cell area (exact)
    Voigt stiffness{};  ///< effective in-plane stiffness over E h: macroscopic tension = E h * stiffness * strain
    Voigt bending{};    ///< effective plate bending stiffness over D: moments = D * bending * curvature,
                        ///< the plate cell problem (no tension)
    Voigt curvature_energy{};  ///< twice the bending energy per area over D for unit macroscopic curvatures when the
                               ///< shape on the cell follows tension and bending together at `layer`; equals
                               ///< `bending` when layer is infinite
    /// Points round the hole's edge; each row maps the macroscopic tension divided by the film thickness (xx, yy, xy)
    /// to the tangential stress there (all other components vanish at a free edge).
    std::vector<Voigt3> edge_stress;
    double stiffness_error = 0.0;    ///< relative discretisation error estimate of `stiffness`
    double bulk_error = 0.0;         ///< of the stiffness against equal-biaxial strain, which sets the relaxed tension
    double bending_error = 0.0;      ///< of `bending` and `curvature_energy`
    double edge_stress_error = 0.0;  ///< of the largest edge stress under equal-biaxial tension
};

/// @throws NoAnswer when the cell matrix cannot be factored (ligaments below the grid)
[[nodiscard]] CellFilm solve_cell(const CellProblem& problem);

/// Whatever solves unit cells: solve_cell, or one that remembers (film/cell_memo.h).
using CellSolver = std::function<CellFilm(const CellProblem&)>;

/// Area of the lattice's cell per hole over pitch^2.
[[nodiscard]] double cell_area(Lattice lattice);
/// Hole area over pitch^2 for a hole of `size` (in units of the pitch).
[[nodiscard]] double hole_area(HoleShape shape, double size);

/// A stiffness seen in axes turned by `angle_rad` (the lattice frame is turned by angle_rad against the new axes' x).
[[nodiscard]] Voigt rotated(const Voigt& stiffness, double angle_rad);

}  // namespace tymbal

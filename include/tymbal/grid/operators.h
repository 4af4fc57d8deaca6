// Finite-difference operators on a cut grid: tension, bending, mass and load of a clamped film, and slopes at its rim.
//
// Every operator is the second derivative of an energy, so its matrix is symmetric by construction.
#pragma once

#include "tymbal/grid/pages.h"
#include "tymbal/grid/stencil_matrix.h"

#include <Eigen/SparseCore>

#include <array>
#include <vector>

namespace tymbal {

using Vector = Eigen::VectorXd;

/// Symmetric tensor (xx, yy, xy) for each grid cell, order grid.cell(i, j).
using CellTensor = PageVector<std::array<double, 3>>;
/// Stiffness acting on (xx, yy, xy) for each grid cell; see Voigt in film/unit_cell.h.
using CellStiffness = PageVector<std::array<std::array<double, 3>, 3>>;

/// Twice the energy int 1/2 N : grad w grad w with w = 0 on the rim, as w' K w.
///
/// An arm that ends on the rim carries its whole length with the slope -w/length (the symmetric ghost-value form of
/// Gibou, Fedkiw, Cheng and Kang, J. Comput. Phys. 176, 205 (2002); citation from memory, order asserted in the tests).
/// @param tension  N/m per cell
[[nodiscard]] SparseMatrix tension_matrix(const Grid& grid, const CellTensor& tension);

/// How the bending energy treats the rim.
enum class RimBending {
    free_slope,  ///< w = 0 only: the layer at the clamped rim is accounted for elsewhere
    clamped,     ///< w = 0 and dw/dn = 0
};

/// Twice the bending energy, as w' K w.
///
/// The part D (laplacian w)^2 of the rim's isotropic film acts everywhere; for a clamped rim its Gaussian part
/// integrates to zero (Gauss-Bonnet for plates; Timoshenko and Woinowsky-Krieger, Theory of Plates and Shells, 2nd ed.,
/// section 22, from memory). `difference` is what the local film's stiffness has on top of the rim film's isotropic
/// one.
///
/// At the rim the Laplacian of node i is the sum of its arm fluxes over the weight
///     V_i = dx dy [n_x^2 (l_+ + l_-)/2dx + n_y^2 (m_+ + m_-)/2dy],   l, m: lengths of its arms,
/// and each cut arm of length l adds the point where it meets the rim, with curvature 2 w_i/(l n_x)^2 (the parabola
/// that touches zero there) and weight n_x^2 l dy/2. With these weights a constant moment does no work on any
/// admissible w, node by node; this makes the scheme second order however the rim cuts the grid.
/// @param rim_stiffness  E h^3/(12 (1 - nu^2)) of the film at the rim, N m
/// @param difference     per cell, N m; empty: none. Must vanish in cells that touch the rim.
[[nodiscard]] SparseMatrix bending_matrix(const Grid& grid, double rim_stiffness, const CellStiffness& difference,
                                          RimBending rim);

/// Lumped mass of each node, from kg/m^2 per cell.
[[nodiscard]] Vector mass_vector(const Grid& grid, const std::vector<double>& areal_density);

/// Area of the film each node stands for (cut at the rim), m^2: for loads and integrals of w.
[[nodiscard]] Vector area_vector(const Grid& grid);

/// One place where a grid line meets the rim, and what a mode shape does there.
struct RimTouch {
    Point place;
    Point normal;
    int loop = 0;
    double curvature = 0.0;  ///< of the rim, see Crossing
    bool along_x = true;     ///< met by a horizontal grid line
    double slope2_ds = 0.0;  ///< (dw/dn)^2 times the rim length this touch stands for, 1/m per unit w^2
};

/// All touches; their sum approximates the contour integral of (dw/dn)^2 over the rim.
[[nodiscard]] std::vector<RimTouch> rim_touches(const Grid& grid, const Eigen::Ref<const Vector>& w);

}  // namespace tymbal

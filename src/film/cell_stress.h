// Plane stress on the periodic cell: effective in-plane stiffness, stress in the film and at the holes' edges.
#pragma once

#include "cell_geometry.h"

#include <Eigen/Dense>

namespace tymbal {

/// Displacements for three macroscopic strains (xx, yy, gamma_xy), film of unit modulus and thickness.
struct CellStress {
    CellGrid cell;
    double poisson_ratio = 0.0;
    std::vector<std::array<double, 4>> areas;  ///< film in the corner triangles, order i + nx j
    Eigen::MatrixXd
        displacement;  ///< rows 2 node (x), 2 node + 1 (y), one column per macroscopic strain; 0 off the film
    std::vector<bool> supported;  ///< nodes that touch film
    Eigen::Matrix3d stiffness;    ///< macroscopic tension per macroscopic strain

    /// Stress of corner triangle t (0: lower left, 1: lower right, 2: upper left, 3: upper right) under load column k.
    [[nodiscard]] Eigen::Vector3d stress(int i, int j, std::size_t t, int k) const;
};

/// Corner differences: the strain of each triangle from the two grid links that meet at its corner. Each of the two
/// diagonals gives the exact energy of a continuous piecewise linear field; their mean is used, so free edges are
/// natural conditions and the stiffness converges from above with the square of the spacing.
/// @throws NoAnswer when the film does not hold together on this grid
[[nodiscard]] CellStress solve_cell_stress(const CellGrid& cell, double poisson_ratio);

/// Tangential stress at points round one hole for unit macroscopic tension over thickness (see CellFilm::edge_stress).
[[nodiscard]] std::vector<Voigt3> edge_stress(const CellStress& solved);

/// Plane-stress stiffness of the isotropic solid over E h.
[[nodiscard]] Eigen::Matrix3d plane_stress(double poisson_ratio);

}  // namespace tymbal

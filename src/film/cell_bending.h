// Bending on the periodic cell: the plate cell problem, and the curvature of the shape that tension dictates.
#pragma once

#include "cell_stress.h"

namespace tymbal {

struct CellBending {
    Eigen::Matrix3d plate;             ///< over D; see CellFilm::bending
    Eigen::Matrix3d curvature_energy;  ///< over D; see CellFilm::curvature_energy
};

/// The deflection between grid values is a periodic quadratic spline, so that its curvature is a second difference and
/// its energy on the film part of each grid cell is exact; free hole edges are natural conditions.
/// @param layer  sqrt(D/N) over the pitch, N the mean tension; infinity: the plate problem alone
[[nodiscard]] CellBending solve_cell_bending(const CellStress& stress, double layer);

}  // namespace tymbal

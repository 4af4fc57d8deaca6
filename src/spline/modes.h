// Eigenpairs nearest to a shift, by a block Krylov space of the shifted inverse.
#pragma once

#include "tymbal/grid/solve_effort.h"

#include "plate.h"

namespace tymbal::spline {

struct Eigenpairs {
    Vector values;                ///< omega^2, rising, 1/s^2
    Eigen::MatrixXd vectors;      ///< a column a mode, v' M v = 1
    int below = 0;                ///< eigenvalues of the problem below the shift, by the signs of the pivots
    double worst_residual = 0.0;  ///< of (K - shift M)^-1 M v = v/(value - shift), relative, in the norm of M
};

/// The `count` eigenpairs of K v = value M v nearest to `shift`. The block starts from fixed pseudo-random numbers and
/// is made orthogonal in M in full. Source: Grimes, Lewis and Simon, SIAM J. Matrix Anal. Appl. 15, 228 (1994) (from
/// memory).
/// @throws NoAnswer when the iteration does not settle
[[nodiscard]] Eigenpairs nearest_modes(const Plate& plate, const Space& space, int count, double shift,
                                       const SolveEffort& effort = {});

}  // namespace tymbal::spline

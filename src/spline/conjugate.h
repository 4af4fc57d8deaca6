// One system of equations by conjugate gradients, with multigrid as the approximate inverse.
//
// The direction's share is that of Polak and Ribiere, which bears with an inverse that is rounded to single precision.
// Source: Golub and Ye, SIAM J. Sci. Comput. 21, 1305 (1999) (from memory).
#pragma once

#include "multigrid.h"

#include "tymbal/grid/solve_effort.h"

namespace tymbal::spline {

struct Solution {
    Vector x;
    int steps = 0;
    double residual = 0.0;  ///< sqrt(r' C r) over that of the load
};

/// A x = load. @param tolerance  of Solution::residual
/// @throws NoAnswer when A is not positive definite or the iteration does not settle
[[nodiscard]] Solution conjugate_gradients(const Rows& a, const Multigrid& inverse, const Vector& load,
                                           double tolerance, const SolveEffort& effort);

}  // namespace tymbal::spline

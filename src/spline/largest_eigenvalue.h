// The largest eigenvalue of a matrix over its diagonal, which bounds what a smoother has to deal with.
#pragma once

#include "pattern.h"

namespace tymbal::spline {

/// Some steps of Lanczos' iteration from fixed pseudo-random numbers, and a margin. Source: Golub and Van Loan, Matrix
/// Computations, ch. 10 (from memory).
[[nodiscard]] double largest_eigenvalue(const Rows& a, const PageVector<float>& inverse_diagonal, unsigned threads);

}  // namespace tymbal::spline

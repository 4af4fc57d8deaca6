// The inner loops of sparse rows on several vectors at a time, vectors innermost.
#pragma once

#include "pattern.h"

namespace tymbal::spline {

/// A run of rows.
struct Run {
    std::size_t from = 0, to = 0;
};

/// out = A x on a run of rows. One field: any number of lanes that is a multiple of four, or one. Two fields: two
/// lanes, one vector. @param x  all unknowns  @param out  the run's rows, the first one in front
void product(const Rows& a, const float* x, int lanes, Run run, float* out);
void product(const Rows& a, const double* x, int lanes, Run run, double* out);
/// The same with products and sums in double precision.
void product(const Rows& a, const float* x, int lanes, Run run, double* out);

}  // namespace tymbal::spline

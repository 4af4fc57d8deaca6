// The inner loops of block algebra on runs of nodes: products of all vectors with each other, combinations, K x.
#pragma once

#include "block.h"

#include "tymbal/grid/stencil.h"

namespace tymbal {

/// Vectors of a run of nodes: `lanes` numbers a node.
template <class T>
struct Vectors {
    const T* data = nullptr;
    int lanes = 0;
};

/// sum(p, q) += a_p . b_q over `count` nodes; row-major with `stride` numbers a row.
/// @param lower  only the lower triangle is wanted (the rest is left undefined)
void add_products(Vectors<float> a, Vectors<float> b, int count, bool lower, double* sum, int stride);
void add_products(Vectors<double> a, Vectors<double> b, int count, bool lower, double* sum, int stride);

/// out = in * by, or out += in * by; by: row-major, in.lanes rows of `lanes`. in and out must not overlap.
void combine_run(Vectors<float> in, const float* by, int lanes, int count, bool add, float* out);
void combine_run(Vectors<double> in, const double* by, int lanes, int count, bool add, double* out);

/// K x of `count` nodes from `star` on; `row`: numbers from one row of x to the next, `stride`: nodes likewise.
void apply_run(const HalfStar<double>* star, std::ptrdiff_t stride, Vectors<double> x, std::ptrdiff_t row, int count,
               double* out);
/// In single precision differences of neighbours are taken before they are weighted: rounded weights do not sum to
/// zero.
void apply_run(const HalfStar<double>* star, std::ptrdiff_t stride, Vectors<float> x, std::ptrdiff_t row, int count,
               float* out);

}  // namespace tymbal

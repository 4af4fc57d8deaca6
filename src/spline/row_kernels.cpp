#include "row_kernels.h"

#include "../grid/block.h"
#include "../grid/wide.h"

#include <algorithm>

namespace tymbal::spline {

namespace {

struct RowOf {
    const int* column;
    const double* value;
    std::ptrdiff_t count;
};

RowOf row_of(const Rows& a, std::size_t n) {
    const Pattern& p = *a.pattern;
    return {p.column.data() + p.first[n], a.value.data() + p.first[n] * a.block(), p.first[n + 1] - p.first[n]};
}

/// `Packs` packs of vectors of one row, their sums in registers.
template <int Packs, class T>
TYMBAL_INLINE void packs(const RowOf& row, const T* x, std::ptrdiff_t lanes, T* out) {
    using Wide = typename Pack<T>::type;
    Wide sum[Packs] = {};
    for (std::ptrdiff_t e = 0; e < row.count; ++e) {
        const T a = static_cast<T>(row.value[e]);
        const T* from = x + row.column[e] * lanes;
        for (int k = 0; k < Packs; ++k) sum[k] += a * pack(from + k * width<T>);
    }
    for (int k = 0; k < Packs; ++k) pack(out + k * width<T>) = sum[k];
}

template <class T>
TYMBAL_INLINE void row_product(const RowOf& row, const T* x, std::ptrdiff_t lanes, T* out) {
    std::ptrdiff_t v = 0;
    for (; v + 3 * width<T> <= lanes; v += 3 * width<T>) packs<3>(row, x + v, lanes, out + v);
    for (; v + width<T> <= lanes; v += width<T>) packs<1>(row, x + v, lanes, out + v);
}

TYMBAL_INLINE void mixed_product(const RowOf& row, const float* x, std::ptrdiff_t lanes, double* out) {
    std::fill(out, out + lanes, 0.0);
    for (std::ptrdiff_t e = 0; e < row.count; ++e) {
        const double a = row.value[e];
        const float* from = x + row.column[e] * lanes;
        for (std::ptrdiff_t v = 0; v < lanes; ++v) out[v] += a * static_cast<double>(from[v]);
    }
}

template <class T>
TYMBAL_INLINE void single_product(const RowOf& row, const T* x, T* out) {
    T sum = 0;
    for (std::ptrdiff_t e = 0; e < row.count; ++e) sum += static_cast<T>(row.value[e]) * x[row.column[e]];
    *out = sum;
}

template <class T>
TYMBAL_INLINE void plane_product(const RowOf& row, const T* x, T* out) {
    T u = 0, v = 0;
    for (std::ptrdiff_t e = 0; e < row.count; ++e) {
        const T* from = x + 2 * static_cast<std::ptrdiff_t>(row.column[e]);
        const double* a = row.value + 4 * e;
        u += static_cast<T>(a[0]) * from[0] + static_cast<T>(a[1]) * from[1];
        v += static_cast<T>(a[2]) * from[0] + static_cast<T>(a[3]) * from[1];
    }
    out[0] = u;
    out[1] = v;
}

template <class T>
TYMBAL_INLINE void rows_product(const Rows& a, const T* x, int lanes, Run run, T* out) {
    for (std::size_t n = run.from; n < run.to; ++n, out += lanes) {
        const RowOf row = row_of(a, n);
        if (a.fields == 2)
            plane_product(row, x, out);
        else if (lanes == 1)
            single_product(row, x, out);
        else
            row_product(row, x, lanes, out);
    }
}

}  // namespace

TYMBAL_WIDE void product(const Rows& a, const float* x, int lanes, Run run, float* out) {
    rows_product(a, x, lanes, run, out);
}
TYMBAL_WIDE void product(const Rows& a, const double* x, int lanes, Run run, double* out) {
    rows_product(a, x, lanes, run, out);
}
TYMBAL_WIDE void product(const Rows& a, const float* x, int lanes, Run run, double* out) {
    for (std::size_t n = run.from; n < run.to; ++n, out += lanes) mixed_product(row_of(a, n), x, lanes, out);
}

}  // namespace tymbal::spline

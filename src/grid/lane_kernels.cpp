#include "lane_kernels.h"

#include "star.h"
#include "wide.h"

#include <algorithm>
#include <array>

namespace tymbal {

namespace {

/// Vectors (or nodes) done at a time: their sums fit the registers.
constexpr int tile = 8;

template <class T>
TYMBAL_INLINE void products(Vectors<T> a, Vectors<T> b, int count, bool lower, double* sum, int stride) {
    using Wide = typename Pack<T>::type;
    for (int p = 0; p < a.lanes; p += tile) {
        for (int q = 0; q < b.lanes && (!lower || q < p + tile); q += width<T>) {
            Wide acc[tile] = {};
            const T *left = a.data + p, *right = b.data + q;
            for (int n = 0; n < count; ++n, left += a.lanes, right += b.lanes) {
                const Wide r = pack(right);
                for (int t = 0; t < tile; ++t) acc[t] += left[t] * r;
            }
            for (int t = 0; t < tile; ++t)
                for (int v = 0; v < width<T>; ++v) sum[(p + t) * stride + q + v] += static_cast<double>(acc[t][v]);
        }
    }
}

/// `Nodes` nodes' combinations.
template <class T, int Nodes>
TYMBAL_INLINE void combinations(Vectors<T> in, const T* by, int lanes, bool add, T* out) {
    using Wide = typename Pack<T>::type;
    for (int q = 0; q < lanes; q += width<T>) {
        Wide acc[Nodes] = {};
        for (int k = 0; k < in.lanes; ++k) {
            const Wide c = pack(by + k * lanes + q);
            for (int t = 0; t < Nodes; ++t) acc[t] += in.data[t * in.lanes + k] * c;
        }
        for (int t = 0; t < Nodes; ++t) {
            T* const to = out + t * lanes + q;
            pack(to) = add ? pack(to) + acc[t] : acc[t];
        }
    }
}

template <class T>
TYMBAL_INLINE void combine_all(Vectors<T> in, const T* by, int lanes, int count, bool add, T* out) {
    int n = 0;
    for (; n + tile <= count; n += tile)
        combinations<T, tile>({in.data + n * in.lanes, in.lanes}, by, lanes, add, out + n * lanes);
    for (; n < count; ++n) combinations<T, 1>({in.data + n * in.lanes, in.lanes}, by, lanes, add, out + n * lanes);
}

}  // namespace

TYMBAL_WIDE void add_products(Vectors<float> a, Vectors<float> b, int count, bool lower, double* sum, int stride) {
    products(a, b, count, lower, sum, stride);
}
TYMBAL_WIDE void add_products(Vectors<double> a, Vectors<double> b, int count, bool lower, double* sum, int stride) {
    products(a, b, count, lower, sum, stride);
}

TYMBAL_WIDE void combine_run(Vectors<float> in, const float* by, int lanes, int count, bool add, float* out) {
    combine_all(in, by, lanes, count, add, out);
}
TYMBAL_WIDE void combine_run(Vectors<double> in, const double* by, int lanes, int count, bool add, double* out) {
    combine_all(in, by, lanes, count, add, out);
}

TYMBAL_WIDE void apply_run(const HalfStar<double>* star, std::ptrdiff_t stride, Vectors<double> x, std::ptrdiff_t row,
                           int count, double* out) {
    const auto step = neighbours(row, x.lanes);
    const double* here = x.data;
    for (int n = 0; n < count; ++n, ++star, here += x.lanes, out += x.lanes) {
        const Star k(star, stride);
        for (int v = 0; v < x.lanes; v += width<double>) {
            Pack<double>::type sum = star->centre * pack(here + v);
            for (std::size_t m = 0; m < 8; ++m) sum += k.weight[m] * pack(here + step[m] + v);
            pack(out + v) = sum;
        }
    }
}

TYMBAL_WIDE void apply_run(const HalfStar<double>* star, std::ptrdiff_t stride, Vectors<float> x, std::ptrdiff_t row,
                           int count, float* out) {
    const auto step = neighbours(row, x.lanes);
    const float* here = x.data;
    for (int n = 0; n < count; ++n, ++star, here += x.lanes, out += x.lanes) {
        const Star k(star, stride);
        const auto rest = static_cast<float>(star->centre + k.sum());
        std::array<float, 8> w;
        for (std::size_t m = 0; m < 8; ++m) w[m] = static_cast<float>(k.weight[m]);
        for (int v = 0; v < x.lanes; v += lane) {
            const Pack<float>::type own = pack(here + v);
            Pack<float>::type sum = rest * own;
            for (std::size_t m = 0; m < 8; ++m) sum += w[m] * (pack(here + step[m] + v) - own);
            pack(out + v) = sum;
        }
    }
}

}  // namespace tymbal

// Loops over rows in fixed strips, so that sums do not depend on how many threads there are.
#pragma once

#include "row_kernels.h"

#include "../base/in_parallel.h"

#include <algorithm>
#include <vector>

namespace tymbal::spline {

constexpr std::size_t strip = 2048;  ///< rows
constexpr std::size_t chunk = 64;    ///< rows whose vectors stay in the fastest memory

[[nodiscard]] inline std::size_t strips(std::size_t rows) {
    return (rows + strip - 1) / strip;
}

/// Calls work(Run) for each strip.
template <class Work>
void for_each_strip(std::size_t rows, unsigned threads, Work work) {
    in_parallel(strips(rows), threads, [&](std::size_t s) { work(Run{s * strip, std::min(rows, (s + 1) * strip)}); });
}

/// Calls work(Run) for the short runs of a strip, one after the other.
template <class Work>
void for_each_chunk(Run all, Work work) {
    for (std::size_t n = all.from; n < all.to; n += chunk) work(Run{n, std::min(all.to, n + chunk)});
}

/// Sum over strips, in their order.
template <class Work>
double sum_of_strips(std::size_t rows, unsigned threads, Work work) {
    std::vector<double> parts(strips(rows));
    for_each_strip(rows, threads, [&](Run run) { parts[run.from / strip] = work(run); });
    double sum = 0.0;
    for (const double p : parts) sum += p;
    return sum;
}

}  // namespace tymbal::spline

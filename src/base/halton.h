// Points that fill a cube evenly, the same ones for everybody.
#pragma once

#include <cstddef>

namespace tymbal {

/// Halton's low-discrepancy sequence (Numer. Math. 2, 84 (1960), from memory): digits of k, mirrored at the point.
/// @return above 0 for k > 0, below 1
[[nodiscard]] inline double halton(std::size_t k, std::size_t base) {
    double result = 0.0, share = 1.0;
    for (; k > 0; k /= base) {
        share /= static_cast<double>(base);
        result += share * static_cast<double>(k % base);
    }
    return result;
}

}  // namespace tymbal

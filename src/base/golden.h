// The top of a hill.
#pragma once

namespace tymbal {

/// Where f is highest between two sides of a hill, by golden sections: each step leaves 0.618 of the interval.
template <class F>
[[nodiscard]] double highest_between(const F& f, double a, double b, int steps = 30) {
    constexpr double golden = 0.6180339887498949;
    for (int k = 0; k < steps; ++k) {
        const double low = b - golden * (b - a), high = a + golden * (b - a);
        (f(low) > f(high) ? b : a) = f(low) > f(high) ? high : low;
    }
    return 0.5 * (a + b);
}

}  // namespace tymbal

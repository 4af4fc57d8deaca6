#include "limit.h"

#include <algorithm>
#include <cmath>
#include <cstddef>

namespace tymbal::spline {

namespace {

constexpr double least_drop = 1.5;     // less is not trusted to go on
constexpr double cornered_drop = 1.7;  // of the 1.3th power, grids a factor of 1.5 apart
constexpr double fastest_drop = 4.0;
constexpr double safety = 2.0;
/// Relative: chords leave of their arcs, on every grid alike, the cube of the angle that they turn by, some .01.
constexpr double chords = 1e-6;
constexpr double cornered_safety = 3.0;  // with 2.5, ten of 360 modes of random tethered pads missed by a tenth

Bounded bounded(double value, double error) {
    return {value, std::max(error, chords * std::abs(value))};
}

/// The limit of v = limit + b h^power by least squares, and the size of what is left of the points.
struct Fit {
    double limit = 0.0, rest = 0.0;
};

Fit fit(const Series& s, std::size_t first, double power) {
    const auto n = static_cast<double>(s.value.size() - first);
    double sx = 0.0, sy = 0.0, sxx = 0.0, sxy = 0.0;
    const auto x = [&](std::size_t k) { return std::pow(s.spacing[k] / s.spacing[first], power); };
    for (std::size_t k = first; k < s.value.size(); ++k) {
        const double y = s.value[k] - s.value[first];
        sx += x(k), sy += y, sxx += x(k) * x(k), sxy += x(k) * y;
    }
    const double slope = (n * sxy - sx * sy) / (n * sxx - sx * sx), limit = (sy - slope * sx) / n;
    double squares = 0.0;
    for (std::size_t k = first; k < s.value.size(); ++k)
        squares += std::pow(s.value[k] - s.value[first] - limit - slope * x(k), 2);
    return {limit + s.value[first], std::sqrt(squares / (n - 2.0))};
}

/// What is left of the last change where changes fall by `drop` from grid to grid.
double left_over(const Series& s, double most) {
    const std::size_t n = s.value.size();
    const auto change = [&](std::size_t back) { return std::abs(s.value[n - back] - s.value[n - back - 1]); };
    const double before = change(2), last = change(1);
    const double drop = std::clamp(last > 0.0 ? before / last : most, least_drop, most);
    // The change before the last tells when the last is small by luck: it would have fallen at least as the one before.
    const double usual = n > 3 && before > 0.0 ? std::clamp(change(3) / before, drop, fastest_drop) : drop;
    return std::max(last / (drop - 1.0), before / (usual * (drop - 1.0) * 2.0));
}

Bounded extrapolated(const Series& s) {
    const std::size_t first = s.value.size() > 4 ? s.value.size() - 4 : 0;
    const Fit middle = fit(s, first, 1.3);
    const double spread =
        std::max(std::abs(fit(s, first, 1.0).limit - middle.limit), std::abs(fit(s, first, 1.6).limit - middle.limit));
    return {middle.limit, spread + cornered_safety * middle.rest};
}

}  // namespace

Bounded smooth_limit(const Series& series, double most) {
    return bounded(series.value.back(), safety * left_over(series, most));
}

Bounded cornered_limit(const Series& series) {
    return bounded(series.value.back(), cornered_safety * left_over(series, cornered_drop));
}

Bounded cornered_limit_of_energy(const Series& series) {
    const Bounded last = cornered_limit(series), far = extrapolated(series);
    // Changes of fronts that do not fall by a power yet send the limit far away.
    if (std::abs(far.value - last.value) > last.error) return last;
    return bounded(far.value, std::min(far.error, last.error));
}

}  // namespace tymbal::spline

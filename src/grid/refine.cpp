#include "tymbal/grid/refine.h"

#include <algorithm>
#include <cmath>
#include <cstddef>

namespace tymbal {

namespace {

constexpr double regular_order = 2.0;
constexpr double regular_band = 0.35;   // how far an observed order may be from two and still be called regular
constexpr double roundoff = 1e-9;       // relative floor: factorisation and eigensolver

double limit_of_two(double coarse, double fine, double h_coarse, double h_fine, double order) {
    return fine + (fine - coarse) / (std::pow(h_coarse / h_fine, order) - 1.0);
}

struct Triple {
    double f1, f2, f3;
    double h1, h2, h3;
};

Extrapolated regular_limit(const Triple& t, double order) {
    const double first = limit_of_two(t.f1, t.f2, t.h1, t.h2, regular_order);
    const double second = limit_of_two(t.f2, t.f3, t.h2, t.h3, regular_order);
    return {second, std::abs(second - first), order};
}

Extrapolated singular_limit(const Triple& t, double order) {
    const double used = std::clamp(order, 0.5, 4.0);
    const double value = limit_of_two(t.f2, t.f3, t.h2, t.h3, used);
    return {value, std::abs(value - t.f3), order};
}

}  // namespace

double observed_order(double coarse, double middle, double fine, double h_coarse, double h_middle, double h_fine) {
    const double ratio = (coarse - middle) / (middle - fine);
    if (!(ratio > 0.0) || !std::isfinite(ratio)) return 0.0;
    const auto predicted = [&](double p) {
        return (std::pow(h_coarse, p) - std::pow(h_middle, p)) / (std::pow(h_middle, p) - std::pow(h_fine, p));
    };
    double low = 0.01, high = 12.0;  // predicted() rises with p
    if (ratio <= predicted(low)) return low;
    if (ratio >= predicted(high)) return high;
    for (int step = 0; step < 60; ++step) {
        const double middle_p = 0.5 * (low + high);
        (predicted(middle_p) < ratio ? low : high) = middle_p;
    }
    return 0.5 * (low + high);
}

std::vector<Extrapolated> extrapolate(const std::vector<std::vector<double>>& figures,
                                      const std::vector<double>& spacing) {
    const std::size_t grids = figures.size();
    const std::size_t count = figures.back().size();
    std::vector<Extrapolated> limits;
    std::vector<double> unsteady;  // relative distance between successive limits of each figure
    for (std::size_t k = 0; k < count; ++k) {
        const Triple t{figures[grids - 3][k], figures[grids - 2][k], figures[grids - 1][k],
                       spacing[grids - 3],    spacing[grids - 2],    spacing[grids - 1]};
        const double order = observed_order(t.f1, t.f2, t.f3, t.h1, t.h2, t.h3);
        // Differences below 1e-6 are noise whatever order they suggest, and extrapolation can do no harm there.
        const bool tiny = std::abs(t.f1 - t.f3) < 1e-6 * std::abs(t.f3);
        const bool regular = tiny || std::abs(order - regular_order) < regular_band;
        limits.push_back(regular ? regular_limit(t, order) : singular_limit(t, order));
        unsteady.push_back(limits.back().error / std::abs(limits.back().value));
    }
    // An accidental agreement of two limits must not pass for accuracy: a figure is held no better than the mean of
    // those below it and half of the next one's.
    double sum = 0.0;
    for (std::size_t k = 0; k < count; ++k) {
        sum += unsteady[k];
        const double mean_below = sum / static_cast<double>(k + 1);
        const double next = k + 1 < count ? 0.5 * unsteady[k + 1] : 0.0;
        const double relative = 0.5 * std::max({unsteady[k], mean_below, next});
        limits[k].error = (relative + roundoff) * std::abs(limits[k].value);
    }
    return limits;
}

}  // namespace tymbal

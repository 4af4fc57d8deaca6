// What a figure is where the spacing goes to zero, and how far the last grid is from it.
#pragma once

#include <vector>

namespace tymbal::spline {

/// A figure with a bound of its error that is meant to cover in nineteen cases of twenty.
struct Bounded {
    double value = 0.0, error = 0.0;
};

/// A figure on grids of falling spacing.
struct Series {
    std::vector<double> spacing, value;
};

/// Films without corners: the finest value; what is left of the last change, twice.
/// @param most  by which a step between grids may divide the changes; more is luck (a cut grid scatters)
[[nodiscard]] Bounded smooth_limit(const Series& series, double most);

/// Films with corners where stress or slope have no limit, so that errors fall by the 1.0th to 1.6th power of the
/// spacing: the finest value, and three times what is left of the last change by the 1.3th.
[[nodiscard]] Bounded cornered_limit(const Series& series);

/// The same for figures that fall smoothly: the limit of the last four grids under such a power, where it lies within
/// that error, and the smaller error of the two.
[[nodiscard]] Bounded cornered_limit_of_energy(const Series& series);

}  // namespace tymbal::spline

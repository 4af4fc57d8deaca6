// From the same figures on several grids to their limit, with an error estimate that has seen the scatter of the grids.
#pragma once

#include <vector>

namespace tymbal {

struct Extrapolated {
    double value = 0.0;
    double error = 0.0;    ///< absolute; meant to bound the true error in at least 95 % of cases
    double order = 0.0;    ///< observed order of convergence in the grid spacing, 0: not monotonic
    double leading = 0.0;  ///< fitted leading term on the finest grid, relative to the value
};

/// What is known beforehand of f(h) = f0 + a h^leading + b h^next + ..., h the grid spacing.
struct Expansion {
    double leading = 2.0;
    double next = 3.0;  ///< 0: no second power is known, one term must do
    /// Part of the correction that chance can fake, because the rim cuts each grid's cells elsewhere.
    double doubt = 0.0;
    /// On the standard error, where grids scatter too little like chance; half as much once five grids are there.
    double caution = 1.0;
};

/// Limits of several positive figures computed on at least three grids.
/// @param figures   one row per grid, coarse to fine; all rows the same length
/// @param spacing   grid spacing of each row, falling (any unit)
///
/// Least squares of both terms over the five finest grids, weighted with h^-2 because the scatter between cut grids
/// falls like the leading term. The error is the sum of 2.5 times (and `caution` times) the standard error that the
/// residuals imply (with
/// more than three grids), a fifth of what the second term moves, and the doubt in the correction, which is one half
/// where the observed order stays far below the leading power.
[[nodiscard]] std::vector<Extrapolated> extrapolate(const std::vector<std::vector<double>>& figures,
                                                    const std::vector<double>& spacing, const Expansion& expansion);

/// Order p for which f = f0 + c h^p passes through three grids; 0 when the figures do not converge monotonically.
[[nodiscard]] double observed_order(double coarse, double middle, double fine, double h_coarse, double h_middle,
                                    double h_fine);

}  // namespace tymbal

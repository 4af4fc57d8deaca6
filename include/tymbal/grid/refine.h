// From the same figures on several grids to their limit, with an error estimate that has seen the order it relies on.
#pragma once

#include <vector>

namespace tymbal {

struct Extrapolated {
    double value = 0.0;
    double error = 0.0;  ///< absolute; meant to bound the true error in at least 95 % of cases
    double order = 0.0;  ///< observed order of convergence in the grid spacing
};

/// Limits of several positive figures computed on at least three grids.
/// @param figures   one row per grid, coarse to fine; all rows the same length
/// @param spacing   grid spacing of each row, falling (any unit)
///
/// Where the observed order is near two, the two finest grids are extrapolated with it (Richardson) and the error is
/// what the next term still moves; where it is not (re-entrant corners), the observed order is used and half of the whole
/// correction counts as error.
[[nodiscard]] std::vector<Extrapolated> extrapolate(const std::vector<std::vector<double>>& figures,
                                                    const std::vector<double>& spacing);

/// Order p for which f = f0 + c h^p passes through three grids; 0 when the figures do not converge monotonically.
[[nodiscard]] double observed_order(double coarse, double middle, double fine, double h_coarse, double h_middle,
                                    double h_fine);

}  // namespace tymbal

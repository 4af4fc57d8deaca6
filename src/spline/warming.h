// A film that a spot warms: temperature by conduction to the rim and radiation, and the tension that it takes away.
//
//   kappa h lap T - r T + q = 0,  T = 0 on the held rim, nothing flows through free edges
//   dN = C : (strain(u) - alpha T),  balanced in the plane
//   domega^2 = Int grad w . dN grad w  for a shape of modal mass one (Hellmann and Feynman)
//
// The temperature is the deflection of a membrane in the even tension kappa h on springs r, and is solved as that.
#pragma once

#include "solved_grid.h"

namespace tymbal::spline {

struct Warmth {
    double conduction = 0.0;  ///< kappa h, W/K
    double radiation = 0.0;   ///< r, of both faces, W/(m^2 K)
    double expansion = 0.0;   ///< alpha, 1/K
    Spot spot;
};

/// Per watt that the film absorbs.
struct Warming {
    double hottest = 0.0;       ///< K
    double sum = 0.0;           ///< integral of the temperature over the film, K m^2
    double tension_drop = 0.0;  ///< integral of -(dN_xx + dN_yy)/2 over the film, N m
    Vector shifts;              ///< domega^2 of each of the grid's modes, 1/s^2
};

/// @throws NoAnswer when the film is not held
[[nodiscard]] Warming warming(const SolvedGrid& grid, const Warmth& warmth);

}  // namespace tymbal::spline

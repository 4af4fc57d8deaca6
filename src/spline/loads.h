// What pushes a film, as the integral of each spline against it: a pressure, or a spot.
#pragma once

#include "assembly.h"

namespace tymbal::spline {

/// A Gaussian spot, g(s) = 2/(pi r^2) exp(-2 s^2/r^2).
struct Spot {
    Point centre;
    double radius = 0.0;  ///< r, 1/e^2 of the intensity, m
};

/// A pressure of one on the film that is there, m^2.
[[nodiscard]] Vector pressure_load(const Cells& cells, const Space& space);

/// A total force of one, spread over the film as the spot's light is; zero where the spot meets no film.
[[nodiscard]] Vector spot_load(const Cells& cells, const Space& space, const Spot& spot);

}  // namespace tymbal::spline

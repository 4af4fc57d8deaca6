// Plain outlines and films for tests, in metres and pascals.
#pragma once

#include "tymbal/modes/find_modes.h"

#include <cmath>

namespace tymbal::simple {

inline Sourced<Length> length(double metres) {
    return {Length::from_si(metres), Length::from_si(0.0), {"test case", Origin::design}};
}
inline Outline rectangle(double width, double height) {
    return Rectangle{length(width), length(height), {}};
}
inline Outline disc(double diameter) {
    return Disc{length(diameter)};
}
inline Outline ring(double outer, double inner) {
    return Ring{length(outer), length(inner)};
}

/// Film with E = 1, nu = 0.25 chosen such that bending stiffness, tension and mass per area are as given.
inline PaintedFilm film(double tension, double bending, double areal_density = 1.0) {
    const double thickness = std::cbrt(12.0 * (1.0 - 0.25 * 0.25) * bending);
    return {thickness, 1.0, 0.25, tension / thickness, areal_density / thickness, {}, 0.0, {}, {}, 0.0};
}

/// E = 250 GPa, nu = 0.23, 3100 kg/m^3: silicon nitride as the closed formulas in the literature use it.
inline PaintedFilm nitride(double thickness, double stress) {
    return {thickness, 250e9, 0.23, stress, 3100.0, {}, 0.0, {}, {}, 0.0};
}

}  // namespace tymbal::simple

// A uniform elastic sheet: what the forms need to know of a film.
#pragma once

namespace tymbal::spline {

struct Sheet {
    double stretch = 0.0;  ///< Young's modulus times thickness, N/m
    double poisson = 0.0;
    double bending = 0.0;  ///< E h^3/(12 (1 - nu^2)), N m
    double mass = 0.0;     ///< density times thickness, kg/m^2
    double tension = 0.0;  ///< as deposited, equal-biaxial, N/m
};

/// Tension (xx, yy, xy) at a point, N/m.
struct Tension {
    double xx = 0.0, yy = 0.0, xy = 0.0;
};

}  // namespace tymbal::spline

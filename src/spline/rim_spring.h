// The held rim's bending layer as a rotational spring, calibrated so that the discrete half line is right.
//
//   energy of the half line x > 0:  1/2 Int N w'^2 + D w''^2 dx + 1/2 kappa (N h) w'(0)^2,   w(0) = 0
//
// A clamped film in tension N with bending stiffness D acts, away from its rim, like a membrane whose rim has moved
// inwards by delta = sqrt(D/N). On a grid that is coarse against delta the splines cannot follow the layer; kappa is
// the spring for which their half line has the shift delta exactly, whatever r = delta/h. It tends to r for a coarse
// grid and becomes stiff (w' = 0) for a fine one.
#pragma once

namespace tymbal::spline {

/// kappa/r^2 and its derivative by ln r, so that the spring is value * D/h.
struct RimSpring {
    double value = 0.0;
    double slope = 0.0;
};

/// Rim on a grid line, w = 0 strongly.
[[nodiscard]] RimSpring spring_on_line(double r);

/// Rim that cuts cells, w = 0 by Nitsche's terms with the strengths below: the mean over where the rim cuts its cell.
[[nodiscard]] RimSpring spring_in_cell(double r);

/// Strengths that belong to the calibration of cut cells.
constexpr double hold_tension = 50.0;   ///< times N/h
constexpr double hold_bending = 200.0;  ///< times D/h^3
constexpr double ghost_held = 1e-2;     ///< of the ghost term in cells that a held rim cuts

}  // namespace tymbal::spline

// How the frequencies of an outline depend on the grid spacing: known from its corners and from how it cuts the grid.
#pragma once

#include "tymbal/grid/refine.h"
#include "tymbal/modes/find_modes.h"

#include <cstddef>
#include <vector>

namespace tymbal {

struct Convergence {
    Expansion expansion;
    std::size_t least_grids = 5;  ///< below which an error cannot be told
};

/// Rims on grid lines: h^2 and h^4. Rims that cut the grid: h^2, h^3 and scatter. Re-entrant corners of angle w: their
/// slope is singular, and frequencies converge with the exponent 2 pi/w of the membrane (4/3 for 270 degrees; Strang
/// and Fix, An Analysis of the Finite Element Method, ch. 8, from memory) or 2 z of the clamped plate, sin(z w) = -z
/// sin(w) (Williams, J. Appl. Mech. 19, 526 (1952), from memory; 1.089 for 270 degrees).
[[nodiscard]] Convergence convergence(const Outline& outline, const PaintedFilm& film, RimTreatment rim);

/// A corner of a rim.
struct RimCorner {
    Point place;
    double angle = 0.0;  ///< of the film, rad; pi where edges go on smoothly
};

/// Where the edges of a rim meet, in their order.
[[nodiscard]] std::vector<RimCorner> corners(const Boundary& rim);

/// Largest inner angle of a polygon, rad; pi for outlines without re-entrant corners.
[[nodiscard]] double widest_angle(const Outline& outline);

/// The clamped layer as one mode on one grid sees it.
struct CornerLayer {
    double thickness = 0.0;  ///< m
    double spacing = 0.0;    ///< of the grid, m
    double effect = 0.0;     ///< relative rise of the frequency by the layer
};

/// Relative error that the thin-layer series leaves at re-entrant corners, where the layer is not straight. A
/// disturbance of size s there moves a frequency by (s/spacing)^(2 pi/w) times what the grid itself does there, which
/// the fit has measured; the factor 2 covers the unlike shapes of the two disturbances (compared with full solutions in
/// tests/modes). Where etch fronts meet, the layer follows the rounded inset up to a share of its effect.
[[nodiscard]] double corner_error(const Outline& outline, const Extrapolated& limit, const CornerLayer& layer);

}  // namespace tymbal

// The film as closed curves of short chords: what is left of an outline once every opening is cut out of it.
#pragma once

#include "tymbal/geometry/openings.h"
#include "tymbal/geometry/outline.h"

#include <array>
#include <vector>

namespace tymbal::spline {

/// A closed curve with the film on its left; chord k runs from points[k] to the next point.
struct Curve {
    std::vector<Point> points;  ///< m
    std::vector<bool> held;     ///< per chord: part of the outline, where the film hangs; otherwise a free edge
};

/// Film that no held rim carries.
struct Loose {
    Point at;           ///< a point of it, m
    double area = 0.0;  ///< m^2
};

struct Region {
    std::vector<Curve> curves;  ///< of film that hangs on a held rim
    Box box;                    ///< of the outline
    double area = 0.0;          ///< m^2
    std::vector<Loose> loose;   ///< left out
};

/// Outline edges that no film hangs on: of a strip, the long sides.
enum class HeldSides { all, left_and_right };

/// The film inside `rim` and outside all `openings`, which may overlap each other and cross the rim.
/// @param chord  arcs leave their chords by less than a thousandth of this length, m
/// @throws NoAnswer when no film is left that hangs on the rim
[[nodiscard]] Region film_region(const Boundary& rim, const std::vector<Figure>& openings, double chord,
                                 HeldSides held = HeldSides::all);

/// Does the rim hold film in some places and none in others: strips, pads on tethers?
[[nodiscard]] bool has_cut_rim(const Region& region);

/// Does the film turn into itself somewhere, or does a held rim end at a free edge? Stress or slope have no limit
/// there.
[[nodiscard]] bool has_sharp_corners(const Region& region);

/// Where the plane's stress has no limit: corners of free edges that turn into the film, and ends of the held rim.
[[nodiscard]] std::vector<Point> stress_corners(const Region& region);

}  // namespace tymbal::spline

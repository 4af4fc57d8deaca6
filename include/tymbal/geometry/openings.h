// Free edges in the film: holes in place and single openings, as closed figures of exact lines and arcs.
#pragma once

#include "tymbal/geometry/front.h"

#include <array>
#include <vector>

namespace tymbal {

/// One closed curve round what is open, counter-clockwise, as lines and arcs monotone in x and y.
using Figure = Boundary;

/// A single opening beside the lattice. It may cross the outline, other openings and holes.
struct Opening {
    Figure figure;
    double narrowest = 0.0;  ///< m; smallest width across it
};

[[nodiscard]] Figure circle_figure(Point centre, double diameter);
/// @param vertices  counter-clockwise, simple, not closed
[[nodiscard]] Figure polygon_figure(const std::vector<Point>& vertices);
/// @param corner_radius  at most half the smaller side; 0: sharp
/// @param angle_rad      of the width against x, about the centre
[[nodiscard]] Figure rectangle_figure(Point centre, std::array<double, 2> sides, double corner_radius,
                                      double angle_rad);

/// The figures of holes in place.
[[nodiscard]] std::vector<Figure> figures(const PlacedHoles& holes);

/// Least width of film between two of the figures that do not overlap, or between one that lies inside the rim and the
/// rim, m; infinite without. Found at points along the edges: good to a few per cent.
[[nodiscard]] double narrowest_film(const std::vector<Figure>& figures, const Boundary& rim);

/// Point at a share t (0 to 1) of the way along an edge.
[[nodiscard]] Point point_on(const Edge& edge, double t);
/// Length of an edge, m.
[[nodiscard]] double length(const Edge& edge);

}  // namespace tymbal

// Geometry as SVG path data: micrometres, y upwards turned to y downwards.
#pragma once

#include "contours.h"

#include "tymbal/geometry/boundary.h"

#include <string>
#include <vector>

namespace tymbal {

/// A picture's frame: metres to the units of the drawing, y down.
struct Frame {
    Box box;             ///< shown, m
    double scale = 1e6;  ///< units per metre
    [[nodiscard]] double x(double metres) const { return scale * (metres - box.low.x); }
    [[nodiscard]] double y(double metres) const { return scale * (box.high.y - metres); }
    [[nodiscard]] double width() const { return scale * (box.high.x - box.low.x); }
    [[nodiscard]] double height() const { return scale * (box.high.y - box.low.y); }
};

/// A frame `units` wide or high, whichever is more, with a margin (relative) round the box.
[[nodiscard]] Frame frame_round(const Box& box, double units, double margin);

/// A coordinate as short as the picture's resolution needs it.
[[nodiscard]] std::string coordinate(double units);

/// Closed path along the rim, lines and arcs.
[[nodiscard]] std::string path_of(const Boundary& rim, const Frame& frame);
[[nodiscard]] std::string path_of(const std::vector<Polyline>& lines, const Frame& frame, bool closed);

/// A round length (1, 2 or 5 times a power of ten) of at most the part `share` of `width`, m.
[[nodiscard]] double scale_bar_length(double width, double share);

}  // namespace tymbal

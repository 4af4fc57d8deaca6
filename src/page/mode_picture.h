// The shape of a mode as bands of colour with its nodal lines: the part that report and quick look share.
#pragma once

#include "svg_shapes.h"

#include "tymbal/task/report.h"

#include <ostream>

namespace tymbal {

/// The frame that all pictures of a design share: `units` across.
[[nodiscard]] Frame picture_frame(const DesignDrawing& drawing, double units = 400.0);

/// Paths of classes d0..d14 and `nodal`, to be cut off where film ends (film_picture.h).
/// @return the number of nodal lines
std::size_t draw_shape(std::ostream& out, const ShapeRaster& shape, const Frame& frame);
/// The same for a picture of some hundred units among many: coarser, and a tenth as long.
void draw_small_shape(std::ostream& out, const ShapeRaster& shape, const Frame& frame);

/// What the colours mean.
void displacement_bar(std::ostream& out);

/// The spot of light, classes `halo` and `spot`; nothing without a readout.
void draw_spot(std::ostream& out, const std::optional<Readout>& readout, const Frame& frame);

/// A bar of round length below a picture of class `plan`, in a strip `scale_strip` high.
void draw_scale_bar(std::ostream& out, const Frame& frame);
inline constexpr double scale_strip = 26.0;

}  // namespace tymbal

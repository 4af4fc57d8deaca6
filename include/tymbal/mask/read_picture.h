// A figure of filled polygons from an SVG file, for a chip's marks: a strict reader of the few shapes that a mask can
// hold.
#pragma once

#include "tymbal/geometry/boundary.h"
#include "tymbal/pattern/opening_figures.h"

#include <string>
#include <vector>

namespace tymbal {

/// The file's path, polygon and rect elements, inside svg and g, `width_m` wide and y upwards, the centre of its box at
/// the origin. A path takes M, L, H, V and Z, absolute or relative.
/// @throws InputError naming file, line and element for what is no filled polygon: curves, text, strokes, styles,
///         scripts, transformations, references, anything unknown
[[nodiscard]] std::vector<FilledShape> read_picture(const std::string& path, double width_m);

/// The same from text; `path` is only named in messages.
[[nodiscard]] std::vector<FilledShape> parse_picture(const std::string& text, const std::string& path, double width_m);

/// Box round all figures. @param shapes  at least one
[[nodiscard]] Box extent_of(const std::vector<FilledShape>& shapes);

}  // namespace tymbal

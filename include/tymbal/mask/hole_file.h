// Holes from a file: a CSV table of centres or the polygons of a GDSII mask file.
#pragma once

#include "tymbal/geometry/holes.h"

#include <optional>
#include <string>
#include <vector>

namespace tymbal {

/// All holes of one size. The size is what the file draws, before any process bias; a CSV table may leave it out.
struct HoleFile {
    std::vector<Point> centres;  ///< m
    std::optional<double> drawn_width_m;
};

/// By the ending of the name: .csv or .gds.
/// @throws InputError naming line or byte: unreadable files, more than a million holes or 128 MiB, figures that are not
///         of the shape, holes of different sizes
[[nodiscard]] HoleFile read_hole_file(const std::string& path, HoleShape shape, double angle_rad);

/// Columns in any order, units of length in the header: `x (um),y (um)` and, when wanted, `drawn diameter (um)` (`drawn
/// side`, `drawn across flats`).
[[nodiscard]] HoleFile parse_hole_csv(const std::string& text, const std::string& path, HoleShape shape);

/// Circles are polygons about as round as an octagon, snapped or not; squares and hexagons stand at the
/// pattern's angle. Sizes go by area.
[[nodiscard]] HoleFile parse_hole_gdsii(const std::string& bytes, const std::string& path, HoleShape shape,
                                        double angle_rad);

/// Name of the size column: "drawn diameter", "drawn side" or "drawn across flats".
[[nodiscard]] std::string drawn_size_name(HoleShape shape);

}  // namespace tymbal

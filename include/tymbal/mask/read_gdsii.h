// Figures of a GDSII stream file with every reference followed; made for files that come from strangers.
#pragma once

#include "tymbal/geometry/outline.h"

#include <cstddef>
#include <string>
#include <vector>

namespace tymbal {

/// A polygon as its cell holds it, m; the first corner is not repeated.
struct GdsiiShape {
    std::vector<Point> corners;
    std::size_t at_byte = 0;  ///< of its element in the file
};

/// Mirror at the x axis (or not), then scale, turn and move.
struct Similarity {
    bool mirrored = false;
    double scale = 1.0;
    double turn_rad = 0.0;
    Point shift;
};

struct GdsiiCopy {
    std::size_t shape = 0;  ///< number in GdsiiFigures::shapes
    Similarity placed;
};

struct GdsiiFigures {
    std::vector<GdsiiShape> shapes;
    std::vector<GdsiiCopy> copies;
};

[[nodiscard]] Point apply(const Similarity& s, Point p);

/// The polygons and boxes of one layer: the only layer with figures, or number 1 where there are several. Texts and
/// nodes are passed over everywhere, paths on other layers too.
/// @param bytes  of the file; `path` is only named in messages
/// @throws InputError with the byte where it went wrong: cut files, lengths that lie, references to nothing or in a
///         circle, more than 64 levels or a million figures in the end, a path on the layer, several top cells
[[nodiscard]] GdsiiFigures read_gdsii(const std::string& bytes, const std::string& path);

}  // namespace tymbal

// A drawing as plain data: cells of figures and of placed copies of other cells, in whole database units.
#pragma once

#include <cstddef>
#include <string>
#include <vector>

namespace tymbal {

/// Database unit of every drawing, m: a chip of 10 cm stays far inside the 32 bits of a mask file's coordinates.
inline constexpr double drawn_unit_m = 1e-9;

/// The kinds of figures; all but the frame are etched through the film, the mask writer is told which to print.
enum class Layer { holes, openings, witnesses, marks, label, frame };

/// In database units.
struct DrawnPoint {
    int x = 0;
    int y = 0;
    bool operator==(const DrawnPoint&) const = default;
};

struct DrawnBox {
    DrawnPoint low, high;
};

/// A simple polygon, corners counter-clockwise, the first not repeated.
struct DrawnFigure {
    Layer layer = Layer::holes;
    std::vector<DrawnPoint> corners;
};

/// Copies of a cell in columns and rows; one copy when there is one of each.
struct Placement {
    std::size_t cell = 0;  ///< number in Drawing::cells
    DrawnPoint at;         ///< of the first copy
    int columns = 1;
    int rows = 1;
    DrawnPoint column_step;
    DrawnPoint row_step;
};

struct DrawnCell {
    std::string name;  ///< capitals, digits and underscores
    std::vector<DrawnFigure> figures;
    std::vector<Placement> placements;
};

/// A cell places only cells before it; the last cell is the whole drawing.
struct Drawing {
    std::vector<DrawnCell> cells;
};

/// Box round all figures of a cell, placed cells included. The cell must not be empty.
[[nodiscard]] DrawnBox extent(const Drawing& drawing, std::size_t cell);

/// Where the copies of a placement lie, row by row.
[[nodiscard]] std::vector<DrawnPoint> copies(const Placement& placement);

/// Counter-clockwise corners of a box.
[[nodiscard]] std::vector<DrawnPoint> corners_of(const DrawnBox& box);

}  // namespace tymbal

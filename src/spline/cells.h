// A uniform grid over a film: which part of each cell is film, exactly, and which parts hang together.
//
// A cell that the film's edges cut may hold several parts that do not touch inside it. Each is a part of its own, so
// that film on both sides of a slit narrower than the spacing is not glued together.
#pragma once

#include "basis.h"
#include "region.h"

#include <array>
#include <cstdint>
#include <vector>

namespace tymbal::spline {

enum class Side { left, right, bottom, top };

/// Cells of spacing (hx, hy), cell (0, 0) at (x0, y0). A side on which the film is held lies on a grid line.
struct Frame {
    double x0 = 0.0, y0 = 0.0, hx = 0.0, hy = 0.0;  ///< m
    int nx = 0, ny = 0;
    std::array<bool, 4> held{};   ///< by Side
    std::array<bool, 4> flush{};  ///< by Side: the box ends on a grid line there, held or free
};

/// Straight sides of the film's box that it touches along a line fall on grid lines, others get a margin.
/// @param spacing  wanted, m; what fits the box best is taken
/// @param multiple  of the cells along each axis
[[nodiscard]] Frame frame_of(const Region& region, double spacing, int multiple = 1);

struct Part {
    int ix = 0, iy = 0;
    int cut = -1;        ///< number of its weights in Cells::weights, -1: the whole cell is film
    double share = 1.0;  ///< of the cell's area
};

/// A piece of edge within a part's cell, the film on its left; coordinates within the cell, 0 to 1.
struct EdgePiece {
    int part = 0;
    Point a, b;
};

/// A piece of the box's held side along one cell: from, to along the side, 0 to 1.
struct SidePiece {
    int part = 0;
    Side side = Side::left;
    double from = 0.0, to = 1.0;
};

struct Cells {
    Frame frame;
    std::vector<Part> parts;       ///< row by row from the lowest y, along x in a row
    std::vector<int> row_first;    ///< first part of each row, one more at the end
    std::vector<Weights> weights;  ///< of parts that are cut, for the Gauss points of the whole cell; sum: share
    std::vector<std::array<int, 2>> beside;  ///< parts that share film across a face: left, right
    std::vector<std::array<int, 2>> above;   ///< below, above
    std::vector<EdgePiece> held_edges;       ///< held rim that cuts cells
    std::vector<SidePiece> held_sides;       ///< held rim on grid lines
    std::vector<EdgePiece> free_edges;
    std::vector<Point> cusps;  ///< corners of held rim that point into the film, in units of cells; rising x

    [[nodiscard]] double area() const;  ///< m^2
    [[nodiscard]] const Weights& weights_of(const Part& part) const {
        return part.cut < 0 ? whole_cell() : weights[static_cast<std::size_t>(part.cut)];
    }
    [[nodiscard]] Point place(const Part& part, double x, double y) const {
        return {frame.x0 + (part.ix + x) * frame.hx, frame.y0 + (part.iy + y) * frame.hy};
    }
};

[[nodiscard]] Cells cut_cells(const Region& region, const Frame& frame);

}  // namespace tymbal::spline

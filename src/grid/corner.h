// The corner between two arms of a lattice node: what the energies of a film on a lattice are summed over.
#pragma once

#include "tymbal/grid/stencil.h"

#include "../base/in_parallel.h"

#include <algorithm>
#include <cstddef>
#include <stdexcept>

namespace tymbal {

/// The corner between two arms of a node, as the operators of a cut grid see it. Slopes count outwards along the arms.
struct Corner {
    std::size_t node = 0;
    std::size_t to_x = 0, to_y = 0;  ///< neighbours' places
    bool cut_x = false, cut_y = false;
    double length_x = 0.0, length_y = 0.0;
    double area_x = 0.0, area_y = 0.0;  ///< that the slopes along x and y stand for
    bool right = false, up = false;
    std::size_t cell = 0;
};

/// Where a grid's node is on the lattice of all nodes strictly inside the grid's box.
template <class Weight>
std::size_t place_of(const Stencil<Weight>& k, const Node& node) {
    if (node.i < 1 || node.j < 1 || node.i > k.columns || node.j > k.rows)
        throw std::logic_error("place_of: a node lies on the grid's box");
    return k.at(node.i - 1, node.j - 1);
}

template <class Weight>
Corner corner_at(const Stencil<Weight>& k, std::size_t node, bool right, bool up) {
    Corner c;
    c.node = node;
    c.to_x = right ? node + 1 : node - 1;
    c.to_y = up ? node + k.stride() : node - k.stride();
    c.right = right;
    c.up = up;
    return c;
}

/// The four corners of one of a grid's nodes, in the order of CornerTensor. @param visit  called with 0 .. 3 and the
/// corner
template <class Weight, class Visit>
void visit_corners(const Stencil<Weight>& k, const Grid& grid, const Node& node, Visit visit) {
    const std::size_t place = place_of(k, node);
    std::size_t number = 0;
    for (const bool right : {true, false})
        for (const bool up : {true, false}) {
            const Arm &x = node.arms[right ? 0 : 1], &y = node.arms[up ? 2 : 3];
            Corner c = corner_at(k, place, right, up);
            c.cut_x = x.cut();
            c.cut_y = y.cut();
            c.length_x = x.length;
            c.length_y = y.length;
            c.area_x = x.own_length() * 0.5 * grid.dy;
            c.area_y = y.own_length() * 0.5 * grid.dx;
            c.cell = static_cast<std::size_t>(grid.cell(node.i - (right ? 0 : 1), node.j - (up ? 0 : 1)));
            visit(number++, c);
        }
}

template <class Weight, class Visit>
void for_each_corner_in_row(const Stencil<Weight>& k, const RectangleCells& cells, int j, Visit visit) {
    const double quarter = 0.25 * cells.dx * cells.dy;
    for (int i = 0; i < k.columns; ++i)
        for (const bool right : {true, false})
            for (const bool up : {true, false}) {
                Corner c = corner_at(k, k.at(i, j), right, up);
                c.cut_x = right ? i + 1 == k.columns : i == 0;
                c.cut_y = up ? j + 1 == k.rows : j == 0;
                c.length_x = cells.dx;
                c.length_y = cells.dy;
                c.area_x = c.cut_x ? 2.0 * quarter : quarter;  // an arm to the rim is its node's alone
                c.area_y = c.cut_y ? 2.0 * quarter : quarter;
                c.cell = static_cast<std::size_t>(i + (right ? 1 : 0)) +
                         static_cast<std::size_t>(cells.columns) * static_cast<std::size_t>(j + (up ? 1 : 0));
                visit(c);
            }
}

/// Calls `work` with rows from, to of strips. It may write to the rows of nodes and cells beside its own: every other
/// strip is done at a time, and the order of sums does not depend on the number of threads.
template <class Work>
void for_each_strip(int rows, unsigned threads, Work work) {
    constexpr int strip = 16;
    const int strips = (rows + strip - 1) / strip;
    for (const int first : {0, 1})
        in_parallel(static_cast<std::size_t>((strips + 1 - first) / 2), threads, [&](std::size_t s) {
            const int from = (2 * static_cast<int>(s) + first) * strip;
            work(from, std::min(from + strip, rows));
        });
}

template <class Weight, class Visit>
void for_each_corner(const Stencil<Weight>& k, const RectangleCells& cells, unsigned threads, Visit visit) {
    for_each_strip(k.rows, threads, [&](int from, int to) {
        for (int j = from; j < to; ++j) for_each_corner_in_row(k, cells, j, visit);
    });
}

/// @param visit  called with the corner's number in a CornerTensor and the corner
template <class Weight, class Visit>
void for_each_corner(const Stencil<Weight>& k, const Grid& grid, unsigned threads, Visit visit) {
    for_each_strip(grid.rows, threads, [&](int from, int to) {
        const auto [first, last] = nodes_in_rows(grid, from, to);
        for (std::size_t n = first; n < last; ++n)
            visit_corners(k, grid, grid.nodes[n],
                          [&](std::size_t c, const Corner& corner) { visit(4 * n + c, corner); });
    });
}

}  // namespace tymbal

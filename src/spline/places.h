// Places where a displacement, a temperature or a stress may be largest.
#pragma once

#include "cells.h"

namespace tymbal::spline {

/// Calls visit(part, place within its cell, whether on a free edge): a raster in whole cells, the ends of edge pieces
/// elsewhere.
template <class Visit>
void for_each_place(const Cells& cells, Visit visit) {
    constexpr int raster = 4;
    for (std::size_t p = 0; p < cells.parts.size(); ++p)
        if (cells.parts[p].cut < 0)
            for (int j = 0; j <= raster; ++j)
                for (int i = 0; i <= raster; ++i)
                    visit(p, Point{static_cast<double>(i) / raster, static_cast<double>(j) / raster}, false);
    for (const auto* edges : {&cells.free_edges, &cells.held_edges})
        for (const EdgePiece& e : *edges)
            for (const Point& at : {e.a, e.b}) visit(static_cast<std::size_t>(e.part), at, edges == &cells.free_edges);
}

}  // namespace tymbal::spline

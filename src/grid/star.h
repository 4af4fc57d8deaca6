// The eight neighbours of a lattice node: their weights and where they stand in a block.
#pragma once

#include "block.h"

#include "tymbal/grid/stencil.h"

#include <array>

namespace tymbal {

/// Order: east, west, north, south, north-east, south-west, north-west, south-east.
struct Star {
    std::array<double, 8> weight;
    Star(const HalfStar<double>* s, std::ptrdiff_t stride)
        : weight{s->east,       s[-1].east,
                 s->north,      s[-stride].north,
                 s->north_east, s[-stride - 1].north_east,
                 s->north_west, s[-stride + 1].north_west} {}
    [[nodiscard]] double sum() const {
        double all = 0.0;
        for (const double w : weight) all += w;
        return all;
    }
};

/// From a node's lanes to its neighbours', same order.
[[nodiscard]] inline std::array<std::ptrdiff_t, 8> neighbours(std::ptrdiff_t row, std::ptrdiff_t lanes) {
    return {lanes, -lanes, row, -row, row + lanes, -row - lanes, row - lanes, -row + lanes};
}

}  // namespace tymbal

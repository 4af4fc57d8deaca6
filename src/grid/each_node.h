// A loop over the nodes of a grid, on as many threads as are given.
#pragma once

#include "tymbal/grid/grid.h"

#include "../base/in_parallel.h"

#include <cstddef>

namespace tymbal {

/// Calls `work` with each node's number, a row of the grid at a time.
template <class Work>
void for_each_node(const Grid& grid, unsigned threads, Work work) {
    in_parallel(static_cast<std::size_t>(grid.rows), threads, [&](std::size_t row) {
        const auto [first, last] = nodes_in_rows(grid, static_cast<int>(row), static_cast<int>(row) + 1);
        for (std::size_t n = first; n < last; ++n) work(n);
    });
}

}  // namespace tymbal

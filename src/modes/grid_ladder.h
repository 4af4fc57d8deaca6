// The grids that a problem is solved on, coarsest first, and how its rim is treated on them.
#pragma once

#include "tymbal/modes/find_modes.h"

#include <array>
#include <cstddef>

namespace tymbal {

struct GridLadder {
    RimTreatment rim = RimTreatment::thin_layer;
    int base_x = 0, base_y = 0;  ///< cells of the coarsest grid across the outline's box, even

    static constexpr std::size_t most = 9;
    /// Cells of grid g, below `most`: 2/2, 3/2, 4/2, 5/2, ... of the coarsest one's.
    [[nodiscard]] std::array<int, 2> cells(std::size_t g) const;
    /// Cells of grid g in all.
    [[nodiscard]] double all_cells(std::size_t g) const;
};

/// Coarsest grid fine enough for half-waves, narrow parts, openings and, where it is resolved, the bending layer.
[[nodiscard]] GridLadder choose_grids(const ModeProblem& problem);

/// @throws NoAnswer when the first grids, up to `finest`, are beyond memory and patience
void require_affordable(const ModeProblem& problem, const GridLadder& grids, std::size_t finest);

}  // namespace tymbal

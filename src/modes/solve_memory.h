// What the resolved model's grids hold in memory at a time, counted before they are made.
#pragma once

#include "grid_ladder.h"

#include <cstddef>

namespace tymbal {

/// Bytes at the peak of grids 0 to `finest`, of which the finest is solved beside the one before it; within a fifth
/// for large grids (tests/cli). @param problem  with openings
[[nodiscard]] std::size_t solve_bytes(const ModeProblem& problem, const GridLadder& grids, std::size_t finest);

/// What the effort allows, or the machine has.
[[nodiscard]] std::size_t memory_limit(const SolveEffort& effort);

/// Announces what will be held. @throws NoAnswer when it is more than the effort's limit
void require_bytes(const SolveEffort& effort, std::size_t bytes);

/// Announces what will be held. @throws NoAnswer when it is more than the effort's limit
void require_memory(const ModeProblem& problem, const GridLadder& grids, std::size_t finest);

}  // namespace tymbal

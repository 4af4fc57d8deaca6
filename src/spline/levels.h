// The grids of one film, each of twice the last one's spacing, and matrices carried from one to the next.
#pragma once

#include "coarser.h"
#include "pattern.h"

#include <memory>
#include <vector>

namespace tymbal::spline {

struct Level {
    Space space;  ///< size and places alone
    std::shared_ptr<const Pattern> pattern;
    Prolongation to_finer;  ///< of this level's functions; empty on the finest
    Restriction from_finer;
    std::vector<std::vector<int>> blocks;  ///< unknowns of each part that a held rim cuts
};

/// Finest first. Grids are halved while they have more than `smallest` unknowns and pairs of cells.
struct Levels {
    std::vector<Level> all;
    [[nodiscard]] std::size_t size() const { return all.size(); }
    [[nodiscard]] const Level& operator[](std::size_t k) const { return all[k]; }
};

[[nodiscard]] Levels make_levels(const Cells& cells, const Space& space, std::shared_ptr<const Pattern> pattern,
                                 int smallest);

/// P' A P: the energy of the coarser functions, exactly. @param coarse  level that A is carried to
[[nodiscard]] Rows galerkin(const Rows& fine, const Level& coarse, unsigned threads);

}  // namespace tymbal::spline

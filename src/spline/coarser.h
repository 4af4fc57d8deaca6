// Cells of twice the spacing over the same film, and what their splines are on the finer cells.
//
//   N_j(t/2) = sum_k m_k N_(2j+k)(t),   m = (1, 3, 3, 1)/4        subdivision of quadratic splines
//
// Every coarse function is a fine one exactly: the coarse cells' parts are what hangs together of the finer parts in
// them, so that film on both sides of a slit is not glued together on any grid. Source: Chaikin, Computer Graphics and
// Image Processing 3, 346 (1974) (from memory, re-derived).
#pragma once

#include "space.h"

#include <array>
#include <vector>

namespace tymbal::spline {

struct Coarser {
    Cells cells;             ///< where parts lie and what they touch; nothing is integrated on them
    std::vector<int> owner;  ///< of each finer part
};

/// Have the cells pairs along both axes, so that held sides stay on grid lines?
[[nodiscard]] bool has_coarser(const Frame& frame);

[[nodiscard]] Coarser coarser(const Cells& fine);

/// A finer unknown as four coarser ones; some may be the same one.
struct Prolongation {
    struct Row {
        std::array<int, 4> from{};
        std::array<float, 4> weight{};  ///< sixteenths: exact
    };
    std::vector<Row> rows;
};

[[nodiscard]] Prolongation prolongation(const Cells& fine, const Space& fine_space, const Coarser& coarse,
                                        const Space& coarse_space);

/// A prolongation by its columns: the finer unknowns that each coarser one is part of.
struct Restriction {
    std::vector<int> first;  ///< of each coarser unknown, one more at the end
    std::vector<int> from;
    std::vector<float> weight;
};

[[nodiscard]] Restriction restriction(const Prolongation& prolongation, int coarse_size);

}  // namespace tymbal::spline

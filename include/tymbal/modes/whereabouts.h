// Where a mode moves and where it bends.
#pragma once

#include "tymbal/modes/find_modes.h"

#include <optional>

namespace tymbal {

struct Whereabouts {
    Point antinode;                        ///< where it moves most, on the raster of its shape, m
    double bending_share = 0.0;            ///< R_b: of the elastic energy, that of bending
    double rim_share = 0.0;                ///< of the bending energy, that in the clamped layer at held rims
    std::optional<double> share_within{};  ///< of the kinetic energy, that within a radius of the origin
};

/// @param k       index into set.modes
/// @param within  radius, m; empty: not asked
[[nodiscard]] Whereabouts whereabouts(const ModeSet& set, std::size_t k, std::optional<double> within);

}  // namespace tymbal

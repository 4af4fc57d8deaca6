// The unknowns: one coefficient for each spline and each connected piece of film in its support.
#pragma once

#include "cells.h"

#include <array>
#include <vector>

namespace tymbal::spline {

/// What a part sees: the unknowns of its splines and their signs (a coefficient is sign times unknown).
struct PartUnknowns {
    std::array<int, per_cell> unknown{};
    std::array<double, per_cell> sign{};
};

/// Coefficients of a scalar that vanishes on the held sides of the box. Where a held rim cuts cells the forms hold it.
struct Space {
    int size = 0;                           ///< unknowns
    std::vector<PartUnknowns> parts;        ///< in the order of Cells::parts
    std::vector<std::array<int, 2>> place;  ///< of each unknown's spline on the lattice, for orderings
};

/// Splines of neighbouring parts are one where film is on both sides of their face. On a held side the outermost spline
/// mirrors its neighbour with the opposite sign, which makes the sum zero there.
[[nodiscard]] Space make_space(const Cells& cells);

}  // namespace tymbal::spline

// How a mode stiffens at large amplitude: the film is longer where it is bent out of its plane.
//
//   e = (w_x^2/2, w_y^2/2, w_x w_y),   k3 = 2 Int e : C : (e + strain(u)),   u balances the tension C : e
//
// from U = k3 a^4/4 at the amplitude a = 1. Source: von Karman's plate, Timoshenko and Woinowsky-Krieger, Theory of
// Plates and Shells, 2nd ed., ch. 13 (from memory, re-derived).
#pragma once

#include "solved_grid.h"

namespace tymbal::spline {

/// k3 of each of the grid's modes, its largest displacement one, N/m^3. @throws NoAnswer as PlaneBalance
[[nodiscard]] Vector cubic_stiffness(const SolvedGrid& grid);

}  // namespace tymbal::spline

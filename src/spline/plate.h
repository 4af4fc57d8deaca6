// The film as a plate in tension: stiffness, mass, and how the stiffness follows the bending stiffness.
//
//   2 U = Int D [(w_xx + w_yy)^2 - 2 (1 - nu)(w_xx w_yy - w_xy^2)] + Int grad w . N grad w,   2 T = omega^2 Int m w^2
//   held rim: w = 0 and the spring of rim_spring.h against w_n; free edges natural
//
// Source: Timoshenko and Woinowsky-Krieger, Theory of Plates and Shells, 2nd ed., ch. 4 and 12 (from memory,
// re-derived).
#pragma once

#include "plane.h"

namespace tymbal::spline {

/// The same matrices by rows, of one pattern.
struct PlateRows {
    Rows stiffness, bending, mass;
};

[[nodiscard]] PlateRows plate_rows(const Cells& cells, const Space& space, const Plane& plane,
                                   const std::shared_ptr<const Pattern>& pattern, unsigned threads);

struct Plate {
    SparseMatrix stiffness;  ///< N/m, lower triangle
    SparseMatrix bending;    ///< D dK/dD, the rim's spring included: R_b = v' bending v / v' stiffness v
    SparseMatrix mass;       ///< kg
};

[[nodiscard]] Plate plate(const Cells& cells, const Space& space, const Plane& plane);

/// The part of Plate::bending that the held rim has: its spring, and the cells whose middle lies within `reach` of it.
[[nodiscard]] SparseMatrix rim_bending(const Cells& cells, const Space& space, const Plane& plane, double reach);

}  // namespace tymbal::spline

// Quadratic splines on a unit cell: each of its three splines along a line, their derivatives, and Gauss points.
//
//        1 |       ___
//          |   _--     --_          N_0 = (1 - t)^2/2,  N_1 = 1/2 + t - t^2,  N_2 = t^2/2,  0 <= t <= 1
//        0 |_--___________--_       spline j of cell i has its middle at i + j - 1/2 in units of the spacing
//
// Source: de Boor, A Practical Guide to Splines, ch. X (from memory, re-derived).
#pragma once

#include <Eigen/Core>

#include <array>

namespace tymbal::spline {

constexpr int degree = 2;
constexpr int per_side = degree + 1;                    ///< splines that meet a cell along a line
constexpr int per_cell = per_side * per_side;           ///< number by * per_side + bx
constexpr int gauss_count = 2 * degree + 2;             ///< points along a line: exact to degree 11
constexpr int point_count = gauss_count * gauss_count;  ///< number qy * gauss_count + qx

using Line = std::array<double, per_side>;
using Local = Eigen::Matrix<double, per_cell, 1>;
using LocalMatrix = Eigen::Matrix<double, per_cell, per_cell>;
using AtPoints = Eigen::Matrix<double, point_count, per_cell>;  ///< a row a point, a column a spline
using Weights = Eigen::Matrix<double, point_count, 1>;

/// Values (derivative 0) or derivatives at t of the splines that meet the cell, in units of the spacing.
[[nodiscard]] inline Line splines(double t, int derivative) {
    switch (derivative) {
        case 0: return {0.5 * (1.0 - t) * (1.0 - t), 0.5 + t - t * t, 0.5 * t * t};
        case 1: return {t - 1.0, 1.0 - 2.0 * t, t};
        case 2: return {1.0, -2.0, 1.0};
        default: return {0.0, 0.0, 0.0};
    }
}

/// Products of splines along x and y at a point of the unit cell.
[[nodiscard]] Local splines_at(double x, double y, int dx, int dy);

struct Gauss {
    std::array<double, gauss_count> at{}, weight{};  ///< on [0, 1]
};
[[nodiscard]] const Gauss& gauss();

/// Splines and derivatives at the Gauss points of a cell, in units of the spacing.
struct CellBasis {
    AtPoints w, x, y, xx, yy, xy;
};
[[nodiscard]] const CellBasis& cell_basis();

/// Gauss weights of the whole cell; they add up to 1.
[[nodiscard]] const Weights& whole_cell();

}  // namespace tymbal::spline

// Products and combinations of a block of modes and of one of directions, over all rows of a grid.
#pragma once

#include "pattern.h"

#include <Eigen/Core>

namespace tymbal::spline {

/// `lanes` numbers an unknown, a multiple of eight; lanes beyond the last vector are vectors too.
template <class T>
struct Block {
    int lanes = 0;
    PageVector<T> number;
    Block(std::size_t rows, int lanes_each) : lanes(lanes_each), number(rows * static_cast<std::size_t>(lanes_each)) {}
};

struct ModeProducts {
    Eigen::MatrixXd stiffness, mass;  ///< X' K X, X' M X
};
struct DirectionProducts {
    Eigen::MatrixXd stiffness, mass;       ///< W' K W, W' M W
    Eigen::MatrixXd modes_mass, residual;  ///< W' M X, W' R
};

/// @param residual  out: K X - M X Lambda, as its products with directions need it
[[nodiscard]] ModeProducts mode_products(const Rows& stiffness, const Rows& mass, const Block<double>& x,
                                         const Vector& values, Block<float>& residual, unsigned threads);

[[nodiscard]] DirectionProducts direction_products(const Rows& stiffness, const Rows& mass, const Block<double>& x,
                                                   const Block<float>& residual, const Block<float>& w,
                                                   unsigned threads);

/// X = X by_modes + W by_directions
void combine(const Eigen::MatrixXd& by_modes, const Eigen::MatrixXd& by_directions, const Block<float>& w,
             Block<double>& x, unsigned threads);

}  // namespace tymbal::spline

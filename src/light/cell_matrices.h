// What of the Fourier problem depends on cell, symmetry and truncation alone: computed once, used at every wavelength.
#pragma once

#include "orders.h"

#include <Eigen/Dense>
#include <Eigen/SparseCore>

namespace tymbal::fourier {

/// How E_x changes under x -> -x and y -> -y: +1 not, -1 its sign, 0 where that mirror is not used. E_y then has the
/// opposite signs, E_z the first opposite, H_z the second.
struct Parity {
    int x = 0, y = 0;
};

using Space = Eigen::SparseMatrix<double>;  ///< orders by functions: columns are orthonormal sums over mirror images

struct CellMatrices {
    std::vector<Order> orders;
    Space ex, ey, ez, hz;                    ///< what each field component is made of
    Eigen::MatrixXd open_x, open_y, open_z;  ///< Fourier matrix of the holes' share, in the spaces of E_x, E_y, E_z
    Eigen::MatrixXd normal_xx, normal_xy, normal_yy;  ///< of n_i n_j w, E_x by E_x, E_x by E_y, E_y by E_y
    [[nodiscard]] Eigen::Index unknowns() const { return ex.cols() + ey.cols(); }
};

/// @param reach  orders with |G| up to this many times 2 pi/pitch are kept
[[nodiscard]] CellMatrices expand(const Cell& cell, double reach, Parity parity);

}  // namespace tymbal::fourier

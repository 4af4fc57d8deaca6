#include "pairs.h"

#include "shapes.h"

#include <Eigen/Eigenvalues>

namespace tymbal::spline {

namespace {

constexpr double equal = 1e-8;

/// Int w_x^2 and its mixed form of two modes.
Eigen::Matrix2d slopes_along_x(const Cells& cells, const Space& space, const Eigen::MatrixXd& vectors, Eigen::Index k) {
    Eigen::Matrix2d sum = Eigen::Matrix2d::Zero();
    for (std::size_t p = 0; p < cells.parts.size(); ++p) {
        Eigen::Matrix<double, point_count, 2> slope;
        for (Eigen::Index m = 0; m < 2; ++m)
            slope.col(m) = cell_basis().x * coefficients(space.parts[p], vectors.col(k + m));
        sum += slope.transpose() * cells.weights_of(cells.parts[p]).asDiagonal() * slope;
    }
    return sum;
}

}  // namespace

void turn_pairs(const Cells& cells, const Space& space, const Vector& values, Eigen::MatrixXd& vectors) {
    for (Eigen::Index k = 0; k + 1 < values.size(); ++k) {
        if (values[k + 1] - values[k] > equal * std::abs(values[k])) continue;
        const Eigen::SelfAdjointEigenSolver<Eigen::Matrix2d> axes(slopes_along_x(cells, space, vectors, k));
        vectors.middleCols(k, 2) = vectors.middleCols(k, 2) * axes.eigenvectors();
        ++k;
    }
}

}  // namespace tymbal::spline

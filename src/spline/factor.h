// A sparse symmetric matrix on the spline lattice as L D L': nested dissection by place, dense fronts.
//
// Lines of splines two wide separate the lattice into halves, again and again; what is left is eliminated front by
// front (Duff and Reid, ACM TOMS 9, 302 (1983), from memory). No pivots are exchanged: the signs in D tell how many
// eigenvalues are below zero (Sylvester's law of inertia), which is what a mode's number needs. Where there are any, a
// solution is refined once.
#pragma once

#include "assembly.h"

#include <Eigen/Core>

#include <memory>
#include <vector>

namespace tymbal::spline {

class Factor {
public:
    /// @param lower   symmetric, lower triangle; unknown n of the space has rows fields * n ...
    Factor(const SparseMatrix& lower, const Space& space, int fields);
    Factor(Factor&&) noexcept;
    ~Factor();
    /// Columns of b are right-hand sides.
    [[nodiscard]] Eigen::MatrixXd solve(const Eigen::MatrixXd& b) const;
    /// Eigenvalues below zero.
    [[nodiscard]] int negative() const;
    [[nodiscard]] std::size_t bytes() const;

private:
    struct Tree;
    std::unique_ptr<const Tree> tree_;
};

}  // namespace tymbal::spline

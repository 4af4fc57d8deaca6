// Matrix and multigrid V-cycle for two displacements per node: block four-colour Gauss-Seidel, bilinear interpolation,
// Galerkin coarse matrices.
#pragma once

#include "tymbal/grid/operators.h"
#include "tymbal/grid/stencil.h"

#include "../grid/block.h"

#include <Eigen/SparseCholesky>

#include <vector>

namespace tymbal {

/// Stiffness between the displacements of two nodes: force on the first along (row) per displacement of the second.
struct Square {
    double xx = 0.0, xy = 0.0, yx = 0.0, yy = 0.0;
};
inline Square operator+(const Square& a, const Square& b) {
    return {a.xx + b.xx, a.xy + b.xy, a.yx + b.yx, a.yy + b.yy};
}
inline Square operator*(double f, const Square& a) {
    return {f * a.xx, f * a.xy, f * a.yx, f * a.yy};
}
inline Square transposed(const Square& a) {
    return {a.xx, a.yx, a.xy, a.yy};
}

using PlaneMatrix = Stencil<Square>;
using Displacement = Block<double>;  ///< two numbers a node

/// r = b - K u
void plane_residual(const PlaneMatrix& k, const Displacement& b, const Displacement& u, Displacement& r,
                    unsigned threads);

/// v = K u, and u' K u.
double plane_product(const PlaneMatrix& k, const Displacement& u, Displacement& v, unsigned threads);

class PlaneCycle {
public:
    /// @param fine  must outlive the object  @throws NoAnswer when the coarsest matrix cannot be factored
    PlaneCycle(const PlaneMatrix& fine, unsigned threads);
    /// u becomes an approximation of K^-1 b: symmetric and positive.
    void solve(const Displacement& b, Displacement& u);
    [[nodiscard]] std::size_t bytes() const;

private:
    void cycle(std::size_t level, const Displacement& b, Displacement& u);
    void factor_coarsest();
    [[nodiscard]] const PlaneMatrix& level(std::size_t k) const { return k == 0 ? fine_ : coarse_[k - 1]; }

    const PlaneMatrix& fine_;
    std::vector<PlaneMatrix> coarse_;
    std::vector<Displacement> b_, u_;
    unsigned threads_;
    std::vector<std::size_t> place_;  ///< of the coarsest level's nodes with film
    Eigen::SimplicialLDLT<SparseMatrix> coarsest_;
};

}  // namespace tymbal

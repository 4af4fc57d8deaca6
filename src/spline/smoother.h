// Smoothing on one grid: Chebyshev's polynomial of degree 4 in B A, where B is near the inverse of A's rough part.
//
// B is the inverse diagonal, but where a held rim cuts cells it is the weighted sum of the inverses on those cells'
// splines: there Nitsche's terms couple all of a cell's splines strongly, and the diagonal alone leaves errors of .4 to
// .9 a cycle. Source: Adams et al., J. Comput. Phys. 188, 593 (2003) for the polynomial; Saad, Iterative Methods for
// Sparse Linear Systems, 2nd ed., algorithm 12.1 and ch. 14 (all from memory).
#pragma once

#include "levels.h"

#include <vector>

namespace tymbal::spline {

class Smoother {
public:
    /// @param a  kept by reference
    Smoother(const Rows& a, const std::vector<std::vector<int>>& blocks, unsigned threads);

    /// One smoothing of A x = b. All hold `lanes` numbers an unknown.
    /// @param residual  b - A x before; what the last step changed is not taken off it
    /// @param step  out: the last step
    /// @param correction  x; where `first`, it starts here
    void run(float* residual, float* step, float* correction, int lanes, bool first) const;
    /// residual -= A step
    void take_off(const float* step, float* residual, int lanes) const;

private:
    /// B on unknowns that lie in a block, a row each.
    struct BlockRows {
        std::vector<int> row, first{0}, column;
        std::vector<float> value;
    };
    void build(const std::vector<std::vector<int>>& blocks);
    template <class T>
    void precondition(const T* residual, std::size_t lanes, T* out) const;
    [[nodiscard]] double largest_eigenvalue() const;

    const Rows& a_;
    PageVector<float> inverse_diagonal_;  ///< 0 in blocks
    BlockRows block_rows_;
    unsigned threads_;
    double largest_ = 0.0;  ///< eigenvalue of B A, from above
};

}  // namespace tymbal::spline

// Approximate inverses of stiffness matrices by multigrid: errors that a grid sees as rough are smoothed on it, the
// rest is left to the next coarser one.
//
//   V-cycle, one smoothing before and one after the coarser grid's correction; a smoothing is Chebyshev's polynomial of
//   degree 4 in the matrix over its diagonal, for the upper sixteenth part of its eigenvalues
//
// Coarser matrices are the energies of the coarser functions (levels.h), the coarsest one is factored. Source: Trottenberg,
// Oosterlee and Schueller, Multigrid (2001); Adams et al., J. Comput. Phys. 188, 593 (2003) for the smoother (both from
// memory).
#pragma once

#include "factor.h"
#include "levels.h"

#include <vector>

namespace tymbal::spline {

/// out = P coarse on every finer unknown.
void prolong(const Prolongation& p, const float* coarse, int lanes, float* out, unsigned threads);
void prolong(const Prolongation& p, const double* coarse, int lanes, double* out, unsigned threads);

class Multigrid {
public:
    /// @param levels  kept by reference, as are the matrices
    /// @param matrices  one a level, positive definite
    Multigrid(const Levels& levels, std::vector<const Rows*> matrices, unsigned threads);

    /// out = C residual, C symmetric and positive definite, near A^-1. Both hold `lanes` numbers an unknown.
    void cycle(const float* residual, int lanes, float* out) const;
    [[nodiscard]] int fields() const { return matrices_.front()->fields; }
    /// Eigenvalues below zero of the coarsest grid's matrix.
    [[nodiscard]] int negative() const { return coarsest_.negative(); }

private:
    struct Work;
    void smooth(std::size_t level, Work& work, bool first) const;
    void down(std::size_t level, Work& work) const;
    void solve_coarsest(Work& work) const;

    const Levels& levels_;
    std::vector<const Rows*> matrices_;
    std::vector<PageVector<float>> inverse_diagonal_;
    std::vector<double> largest_;  ///< eigenvalue of the matrix over its diagonal, from above
    Factor coarsest_;
    unsigned threads_;
};

}  // namespace tymbal::spline

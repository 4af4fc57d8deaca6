// Approximate inverses of stiffness matrices by multigrid: errors that a grid sees as rough are smoothed on it, the
// rest is left to the next coarser one.
//
//   V-cycle: one smoothing, the coarser grid's correction, one smoothing
//
// Coarser matrices are the energies of the coarser functions (levels.h), the coarsest one is factored. Source:
// Trottenberg, Oosterlee and Schueller, Multigrid (2001) (from memory).
#pragma once

#include "factor.h"
#include "smoother.h"

#include <vector>

namespace tymbal::spline {

/// out = P coarse on every finer unknown.
void prolong(const Prolongation& p, const float* coarse, int lanes, float* out, unsigned threads);
void prolong(const Prolongation& p, const double* coarse, int lanes, double* out, unsigned threads);

class Multigrid {
public:
    /// @param levels  kept by reference, as are the matrices
    /// @param matrices  of the first levels, positive definite; the last one is factored
    Multigrid(const Levels& levels, std::vector<const Rows*> matrices, unsigned threads);

    /// Numbers that cycles from a level downwards work on, for `lanes` numbers an unknown.
    class Work {
    public:
        Work(const Multigrid& grid, int lanes, std::size_t level = 0);

    private:
        friend class Multigrid;
        /// What is left of the residual, the last step, and the correction of coarser levels.
        struct OfLevel {
            PageVector<float> residual, step, own_correction;
            float* correction = nullptr;
        };
        int lanes_;
        std::size_t first_;
        std::vector<OfLevel> level_;  ///< those before the first are empty
    };

    /// out = C residual on the first level of `work`, C symmetric and positive definite, near A^-1. Both hold as many
    /// numbers an unknown as `work`.
    void cycle(const float* residual, Work& work, float* out) const;
    [[nodiscard]] int fields() const { return matrices_.front()->fields; }
    /// Eigenvalues below zero of the coarsest grid's matrix.
    [[nodiscard]] int negative() const { return coarsest_.negative(); }

private:
    void down(std::size_t level, Work& work) const;
    void solve_coarsest(Work& work) const;

    const Levels& levels_;
    std::vector<const Rows*> matrices_;
    std::vector<Smoother> smoothers_;  ///< of all but the coarsest
    Factor coarsest_;
    unsigned threads_;
};

}  // namespace tymbal::spline

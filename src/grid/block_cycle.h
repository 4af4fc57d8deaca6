// A multigrid cycle on several right-hand sides at once: four-colour Gauss-Seidel, bilinear interpolation, Galerkin
// coarse matrices. A symmetric, positive approximation of the inverse; its arithmetic is single precision.
#pragma once

#include "block.h"

#include "tymbal/grid/stencil.h"

#include <Eigen/SparseCholesky>

#include <memory>
#include <vector>

namespace tymbal {

/// The film on its own lattice and on all coarser ones.
struct Ladder {
    const LatticeFilm* fine = nullptr;
    std::vector<LatticeFilm> coarse;
    [[nodiscard]] std::size_t levels() const { return coarse.size() + 1; }
    [[nodiscard]] const LatticeFilm& level(std::size_t k) const { return k == 0 ? *fine : coarse[k - 1]; }
};

/// @throws NoAnswer when a node of some level has a negative stiffness: the film is not stable
[[nodiscard]] Ladder make_ladder(const LatticeFilm& fine, unsigned threads);

class BlockCycle {
public:
    /// @param top  level of the ladder that solve() works on; the ladder must outlive the object
    BlockCycle(const Ladder& ladder, std::size_t top, int lanes, unsigned threads);

    /// x becomes an approximation of K^-1 b, zero where there is no film. @param packs  of b; x has as many
    void solve(const Block<float>& b, const Packs& packs, Block<float>& x);
    [[nodiscard]] std::size_t bytes() const;

private:
    /// Coarser levels are visited twice each time (a W-cycle below the top).
    void cycle(std::size_t level, const Block<float>& b, const Packs& packs, Block<float>& x);
    void solve_coarsest(const Block<float>& b, const Packs& packs, Block<float>& x) const;

    const Ladder& ladder_;
    std::size_t top_;
    unsigned threads_;
    std::vector<Block<float>> b_, x_;  ///< of the levels below top
    std::vector<std::size_t> place_;   ///< of the coarsest level's unknowns
    Eigen::SimplicialLDLT<SparseMatrix> coarsest_;
};

/// x += interpolation of the coarser block, where the finer lattice carries film. Coarse node I sits on 2 I + 1.
template <class T>
void interpolate(const Stencil<double>& fine, const Block<T>& coarse, Block<T>& x, bool add, unsigned threads);

}  // namespace tymbal

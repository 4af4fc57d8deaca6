// Lowest eigenpairs of K w = lambda M w for a sparse symmetric K and a diagonal M, with their evidence.
#pragma once

#include "tymbal/grid/mirrors.h"
#include "tymbal/grid/operators.h"

#include <vector>

namespace tymbal {

struct Eigenpairs {
    Vector values;                ///< rising
    Eigen::MatrixXd vectors;      ///< one column each, w' M w = 1
    double worst_residual = 0.0;  ///< |K w - lambda M w| / (lambda |M w|), largest over the pairs
};

/// @param count    wanted, at most the size of K minus 2
/// @param mirrors  images that K and M may be symmetric under: those that both are (tried on a vector, to 1e-9) split
///                 the problem into even and odd shapes, solved one class after the other; where x and y can be
///                 exchanged too, shapes odd in one of them alone come in pairs, of which one is solved
/// @throws NoAnswer when K is not positive definite (the film buckles: the text says how many directions) or the
///         iteration does not converge
[[nodiscard]] Eigenpairs lowest_eigenpairs(const SparseMatrix& stiffness, const Vector& mass, int count,
                                           const Mirrors& mirrors = {});

/// How many values lie below `limit`: the negative pivots of K - limit M (Sylvester's law of inertia).
[[nodiscard]] Eigen::Index count_below(const SparseMatrix& stiffness, const Vector& mass, double limit);

/// Has the symmetric matrix positive pivots only?
[[nodiscard]] bool is_definite(const SparseMatrix& stiffness);

/// Static answers; K must be positive definite. @param mirrors  as above, used when K and all loads are symmetric
[[nodiscard]] Eigen::MatrixXd solve_static(const SparseMatrix& stiffness, const Eigen::MatrixXd& loads,
                                           const std::vector<Mirror>& mirrors = {});

}  // namespace tymbal

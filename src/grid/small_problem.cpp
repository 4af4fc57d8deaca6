#include "small_problem.h"

#include "tymbal/base/error.h"

#include <Eigen/Cholesky>
#include <Eigen/Eigenvalues>

#include <vector>

namespace tymbal {

namespace {

// Products with directions are sums of single-precision numbers: what is left of a direction below this part of its
// energy is rounding.
constexpr double least_part = 1e-4;

/// Columns that make the directions orthonormal, and orthogonal to the modes, in the stiffness. (In the mass they would
/// look independent where only their rounding is: a rough direction has little mass and much stiffness.)
Eigen::MatrixXd independent_directions(const Eigen::MatrixXd& stiffness, Eigen::Index count) {
    const Eigen::Index all = stiffness.rows(), directions = all - count;
    const Eigen::MatrixXd modes =
        stiffness.topLeftCorner(count, count).llt().solve(stiffness.topRightCorner(count, directions));
    const Eigen::MatrixXd rest =
        stiffness.bottomRightCorner(directions, directions) - stiffness.bottomLeftCorner(directions, count) * modes;
    std::vector<Eigen::Index> used;
    for (Eigen::Index k = 0; k < directions; ++k)
        if (rest(k, k) > least_part * stiffness(count + k, count + k)) used.push_back(k);
    if (used.empty()) return Eigen::MatrixXd(all, 0);
    Eigen::MatrixXd unit = Eigen::MatrixXd::Zero(directions, static_cast<Eigen::Index>(used.size()));
    for (std::size_t c = 0; c < used.size(); ++c)
        unit(used[c], static_cast<Eigen::Index>(c)) = 1.0 / std::sqrt(rest(used[c], used[c]));
    const Eigen::SelfAdjointEigenSolver<Eigen::MatrixXd> parts(unit.transpose() * rest * unit);
    const auto kept = (parts.eigenvalues().array() > least_part).count();
    const Eigen::MatrixXd basis = unit * parts.eigenvectors().rightCols(kept) *
                                  parts.eigenvalues().tail(kept).cwiseSqrt().cwiseInverse().asDiagonal();
    Eigen::MatrixXd out(all, kept);
    out << -modes * basis, basis;
    return out;
}

}  // namespace

RitzPairs ritz_pairs(const SmallProblem& problem, Eigen::Index count) {
    const Eigen::Index all = problem.mass.rows();
    if (!problem.mass.allFinite() || !problem.stiffness.allFinite())
        throw NoAnswer("the block eigensolver ran out of range; ask for fewer modes");
    const Eigen::LLT<Eigen::MatrixXd> modes(problem.stiffness.topLeftCorner(count, count));
    if (modes.info() != Eigen::Success || (problem.stiffness.diagonal().array() < 0.0).any())
        throw NoAnswer("the film is not stable: a shape buckles under its relaxed stress; raise film.stress");
    const Eigen::MatrixXd directions =
        all > count ? independent_directions(problem.stiffness, count) : Eigen::MatrixXd(all, 0);
    Eigen::MatrixXd basis = Eigen::MatrixXd::Zero(all, count + directions.cols());
    basis.topLeftCorner(count, count) = modes.matrixU().solve(Eigen::MatrixXd::Identity(count, count));
    basis.rightCols(directions.cols()) = directions;
    // In this basis the stiffness is one, and the mass has the inverse values.
    Eigen::MatrixXd inverse = basis.transpose() * problem.mass * basis;
    inverse = (0.5 * (inverse + inverse.transpose())).eval();
    const Eigen::SelfAdjointEigenSolver<Eigen::MatrixXd> solver(inverse);
    if (solver.info() != Eigen::Success) throw NoAnswer("the block eigensolver's small problem has no solution");
    const Eigen::VectorXd mass = solver.eigenvalues().tail(count).reverse();
    if (mass[count - 1] <= 0.0)
        throw NoAnswer("the block eigensolver lost the independence of its modes; ask for fewer modes");
    RitzPairs out{mass.cwiseInverse(), basis * solver.eigenvectors().rightCols(count).rowwise().reverse() *
                                           mass.cwiseSqrt().cwiseInverse().asDiagonal()};
    for (Eigen::Index k = 0; k < count; ++k)
        if (out.combinations(k, k) < 0.0) out.combinations.col(k) *= -1.0;
    return out;
}

}  // namespace tymbal

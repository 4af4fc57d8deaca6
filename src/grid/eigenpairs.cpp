#include "tymbal/grid/eigenpairs.h"

#include "tymbal/base/error.h"

#include <Spectra/SymEigsShiftSolver.h>
#include <Eigen/SparseCholesky>

#include <algorithm>
#include <string>

namespace tymbal {

namespace {

using Factor = Eigen::SimplicialLDLT<SparseMatrix>;

void factor_definite(Factor& factor, const SparseMatrix& stiffness) {
    factor.compute(stiffness);
    if (factor.info() != Eigen::Success) throw NoAnswer("the stiffness matrix cannot be factored");
    const auto negative = (factor.vectorD().array() <= 0.0).count();
    if (negative > 0)
        throw NoAnswer(
            "the flat film is not stable: " + std::to_string(negative) +
            " shape(s) buckle under its compressive stress; raise film.stress above zero or make the outline "
            "smaller");
}

/// Inverse of the scaled stiffness M^-1/2 K M^-1/2, as the eigensolver wants it. Only shift zero is asked for.
/// Its values are divided by `unit`, close to the lowest of them: the eigensolver's tolerance is absolute below 1e-11.
class InverseOperator {
public:
    using Scalar = double;
    InverseOperator(const SparseMatrix& scaled, const Vector& start) : size_(scaled.rows()) {
        factor_definite(factor_, scaled);
        unit_ = start.norm() / factor_.solve(start).norm();
    }
    [[nodiscard]] double unit() const { return unit_; }
    [[nodiscard]] Eigen::Index rows() const { return size_; }
    [[nodiscard]] Eigen::Index cols() const { return size_; }
    void set_shift(double) {}
    void perform_op(const double* in, double* out) const {
        const Eigen::Map<const Vector> x(in, size_);
        Eigen::Map<Vector>(out, size_) = unit_ * factor_.solve(x);
    }

private:
    Eigen::Index size_;
    double unit_ = 1.0;
    Factor factor_;
};

double worst_residual(const SparseMatrix& stiffness, const Vector& mass, const Eigenpairs& pairs) {
    double worst = 0.0;
    for (Eigen::Index k = 0; k < pairs.values.size(); ++k) {
        const Vector inertia = pairs.values[k] * mass.cwiseProduct(pairs.vectors.col(k));
        worst = std::max(worst, (stiffness * pairs.vectors.col(k) - inertia).norm() / inertia.norm());
    }
    return worst;
}

}  // namespace

Eigenpairs lowest_eigenpairs(const SparseMatrix& stiffness, const Vector& mass, int count) {
    const Eigen::Index size = stiffness.rows();
    if (count > size - 2) throw NoAnswer("the grid has fewer nodes than modes are asked for");
    const Vector scale = mass.cwiseSqrt().cwiseInverse();
    const SparseMatrix scaled = scale.asDiagonal() * stiffness * scale.asDiagonal();
    const Vector start = Vector::LinSpaced(size, 1.0, 1.7 * static_cast<double>(size)).array().sin() + 1.1;
    InverseOperator inverse(scaled, start);  // the start vector is fixed and has no symmetry
    const Eigen::Index basis = std::min<Eigen::Index>(size, std::max(2 * count + 8, 20));
    Spectra::SymEigsShiftSolver<InverseOperator> solver(inverse, count, basis, 0.0);
    solver.init(start.data());
    solver.compute(Spectra::SortRule::LargestMagn, 1000, 1e-12, Spectra::SortRule::SmallestAlge);
    if (solver.info() != Spectra::CompInfo::Successful)
        throw NoAnswer("the eigensolver did not converge; ask for fewer modes or a coarser accuracy");
    Eigenpairs pairs{inverse.unit() * solver.eigenvalues(), scale.asDiagonal() * solver.eigenvectors(), 0.0};
    pairs.worst_residual = worst_residual(stiffness, mass, pairs);
    if (!(pairs.worst_residual < 1e-6)) throw NoAnswer("the eigensolver's modes do not satisfy their equation");
    return pairs;
}

Eigen::MatrixXd solve_static(const SparseMatrix& stiffness, const Eigen::MatrixXd& loads) {
    Factor factor;
    factor_definite(factor, stiffness);
    return factor.solve(loads);
}

}  // namespace tymbal

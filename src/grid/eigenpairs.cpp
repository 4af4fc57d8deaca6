#include "tymbal/grid/eigenpairs.h"

#include "tymbal/base/error.h"

#include <Spectra/SymEigsShiftSolver.h>
#include <Eigen/SparseCholesky>

#include <algorithm>
#include <cmath>
#include <numeric>
#include <string>
#include <utility>
#include <vector>

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
        Vector y = unit_ * factor_.solve(x);
        if (known_.cols() > 0) y -= known_ * (known_.transpose() * y);
        Eigen::Map<Vector>(out, size_) = y;
    }
    /// From now on these orthonormal vectors are seen as belonging to infinite values.
    void deflate(const Eigen::MatrixXd& known) { known_ = known; }

private:
    Eigen::Index size_;
    double unit_ = 1.0;
    Factor factor_;
    Eigen::MatrixXd known_;
};

struct Found {
    Vector values;
    Eigen::MatrixXd vectors;  ///< orthonormal
};

Found iterate(InverseOperator& inverse, const Vector& start, Eigen::Index count) {
    const Eigen::Index basis = std::min(inverse.rows(), std::max<Eigen::Index>(2 * count + 8, 20));
    Spectra::SymEigsShiftSolver<InverseOperator> solver(inverse, count, basis, 0.0);
    solver.init(start.data());
    solver.compute(Spectra::SortRule::LargestMagn, 1000, 1e-12, Spectra::SortRule::SmallestAlge);
    if (solver.info() != Spectra::CompInfo::Successful)
        throw NoAnswer("the eigensolver did not converge; ask for fewer modes or a coarser accuracy");
    return {inverse.unit() * solver.eigenvalues(), solver.eigenvectors()};
}

/// The lowest `count` of both, rising.
Found merged(const Found& a, const Found& b, Eigen::Index count) {
    Found all{Vector(a.values.size() + b.values.size()),
              Eigen::MatrixXd(a.vectors.rows(), a.values.size() + b.values.size())};
    all.values << a.values, b.values;
    all.vectors << a.vectors, b.vectors;
    std::vector<Eigen::Index> order(static_cast<std::size_t>(all.values.size()));
    std::iota(order.begin(), order.end(), Eigen::Index{0});
    std::stable_sort(order.begin(), order.end(),
                     [&](Eigen::Index i, Eigen::Index j) { return all.values[i] < all.values[j]; });
    Found lowest{Vector(count), Eigen::MatrixXd(a.vectors.rows(), count)};
    for (Eigen::Index k = 0; k < count; ++k) {
        lowest.values[k] = all.values[order[static_cast<std::size_t>(k)]];
        lowest.vectors.col(k) = all.vectors.col(order[static_cast<std::size_t>(k)]);
    }
    return lowest;
}

/// A single-vector iteration can miss one of two equal values: all values up to the widest gap near the end are
/// counted, and missing ones are looked for beside those already found.
Found complete(InverseOperator& inverse, const SparseMatrix& scaled, const Vector& start, Found found) {
    constexpr int rounds = 4;
    const Eigen::Index count = found.values.size();
    for (int round = 0; round < rounds; ++round) {
        Eigen::Index below = count - 1;  // values below the wider of the last two gaps
        for (Eigen::Index k = std::max<Eigen::Index>(1, count - 2); k < count - 1; ++k)
            if (found.values[k] / found.values[k - 1] > found.values[below] / found.values[below - 1]) below = k;
        const double limit = std::sqrt(found.values[below] * found.values[below - 1]);
        const Eigen::Index missing = count_below(scaled, Vector::Ones(scaled.rows()), limit) - below;
        if (missing <= 0) return found;
        inverse.deflate(found.vectors);
        found = merged(found, iterate(inverse, start, missing), count);
    }
    throw NoAnswer("the eigensolver misses modes of equal frequency; ask for one mode more or less");
}

double worst_residual(const SparseMatrix& stiffness, const Vector& mass, const Eigenpairs& pairs) {
    double worst = 0.0;
    for (Eigen::Index k = 0; k < pairs.values.size(); ++k) {
        const Vector inertia = pairs.values[k] * mass.cwiseProduct(pairs.vectors.col(k));
        worst = std::max(worst, (stiffness * pairs.vectors.col(k) - inertia).norm() / inertia.norm());
    }
    return worst;
}

}  // namespace

Eigen::Index count_below(const SparseMatrix& stiffness, const Vector& mass, double limit) {
    SparseMatrix shifted = stiffness;
    for (Eigen::Index k = 0; k < shifted.rows(); ++k) shifted.coeffRef(k, k) -= limit * mass[k];
    const Factor factor(shifted);
    return (factor.vectorD().array() < 0.0).count();
}

Eigenpairs lowest_eigenpairs(const SparseMatrix& stiffness, const Vector& mass, int count) {
    const Eigen::Index size = stiffness.rows();
    if (count > size - 2) throw NoAnswer("the grid has fewer nodes than modes are asked for");
    const Vector scale = mass.cwiseSqrt().cwiseInverse();
    const SparseMatrix scaled = scale.asDiagonal() * stiffness * scale.asDiagonal();
    const Vector start = Vector::LinSpaced(size, 1.0, 1.7 * static_cast<double>(size)).array().sin() + 1.1;
    InverseOperator inverse(scaled, start);  // the start vector is fixed and has no symmetry
    Found found = iterate(inverse, start, count);
    if (count > 1) found = complete(inverse, scaled, start, std::move(found));
    Eigenpairs pairs{found.values, scale.asDiagonal() * found.vectors, 0.0};
    pairs.worst_residual = worst_residual(stiffness, mass, pairs);
    if (!(pairs.worst_residual < 1e-6)) throw NoAnswer("the eigensolver's modes do not satisfy their equation");
    return pairs;
}

bool is_definite(const SparseMatrix& stiffness) {
    const Factor factor(stiffness);
    return factor.info() == Eigen::Success && (factor.vectorD().array() > 0.0).all();
}

Eigen::MatrixXd solve_static(const SparseMatrix& stiffness, const Eigen::MatrixXd& loads) {
    Factor factor;
    factor_definite(factor, stiffness);
    return factor.solve(loads);
}

}  // namespace tymbal

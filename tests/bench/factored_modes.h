// The same modes by general libraries, for comparison: shift-invert Lanczos (Spectra) on a sparse factorisation.
#pragma once

#include "tymbal/grid/stencil.h"

#include <Spectra/SymEigsShiftSolver.h>

#include <algorithm>
#include <cmath>
#include <memory>

namespace tymbal {

struct FactoredModes {
    Vector values;  ///< rising
    double worst_residual = 0.0;
    double factored_s = 0.0, iterated_s = 0.0;
    long solves = 0;
    bool converged = false;
};

template <class Factor>
class FactoredInverse {
public:
    using Scalar = double;
    FactoredInverse(const SparseMatrix& scaled, double unit) : size_(scaled.rows()), unit_(unit) {
        factor_.compute(scaled);
    }
    [[nodiscard]] Eigen::Index rows() const { return size_; }
    [[nodiscard]] Eigen::Index cols() const { return size_; }
    void set_shift(double) {}
    void perform_op(const double* in, double* out) const {
        Eigen::Map<Vector>(out, size_) = unit_ * factor_.solve(Vector(Eigen::Map<const Vector>(in, size_)));
    }

private:
    Eigen::Index size_;
    double unit_;
    Factor factor_;
};

/// @param tolerance  of the eigenvalues, relative; the residual reached is reported
template <class Factor, class Clock>
FactoredModes factored_modes(const SparseFilm& film, int count, double tolerance, double unit, Clock seconds_of) {
    const Vector scale = film.mass.cwiseSqrt().cwiseInverse();
    const SparseMatrix scaled = scale.asDiagonal() * film.stiffness * scale.asDiagonal();
    FactoredModes out;
    std::unique_ptr<FactoredInverse<Factor>> inverse;
    out.factored_s = seconds_of([&] { inverse = std::make_unique<FactoredInverse<Factor>>(scaled, unit); });
    out.iterated_s = seconds_of([&] {
        Spectra::SymEigsShiftSolver<FactoredInverse<Factor>> solver(*inverse, count, 2 * count + 4, 0.0);
        solver.init();
        solver.compute(Spectra::SortRule::LargestMagn, 100, tolerance, Spectra::SortRule::SmallestAlge);
        out.converged = solver.info() == Spectra::CompInfo::Successful;
        out.solves = solver.num_operations();
        if (!out.converged) return;
        out.values = unit * solver.eigenvalues();
        const Eigen::MatrixXd w = scale.asDiagonal() * solver.eigenvectors();
        for (Eigen::Index k = 0; k < count; ++k) {
            const Vector inertia = out.values[k] * film.mass.cwiseProduct(w.col(k));
            out.worst_residual =
                std::max(out.worst_residual, (film.stiffness * w.col(k) - inertia).norm() / inertia.norm());
        }
    });
    return out;
}

}  // namespace tymbal

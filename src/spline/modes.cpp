#include "modes.h"

#include "factor.h"

#include "tymbal/base/error.h"

#include <Eigen/Eigenvalues>

#include <algorithm>
#include <cmath>
#include <cstdint>
#include <numeric>

namespace tymbal::spline {

namespace {

using Matrix = Eigen::MatrixXd;
constexpr Eigen::Index block = 4;
constexpr double settled = 1e-8;

Matrix start_block(Eigen::Index rows) {
    Matrix out(rows, block);
    std::uint64_t state = 0x9e3779b97f4a7c15ULL;
    for (Eigen::Index c = 0; c < block; ++c)
        for (Eigen::Index r = 0; r < rows; ++r) {
            state = state * 6364136223846793005ULL + 1442695040888963407ULL;
            out(r, c) = static_cast<double>(state >> 11) * 0x1p-53 - 0.5;
        }
    return out;
}

class Krylov {
public:
    Krylov(const SparseMatrix& mass, const Factor& inverse, Eigen::Index rows, Eigen::Index most)
        : mass_(mass), inverse_(inverse), v_(rows, most), mv_(rows, most), h_(Matrix::Zero(most, most)) {
        Matrix first = inverse_.solve(times_mass(start_block(rows)));
        Matrix unused;
        append(first, unused);
    }
    [[nodiscard]] Eigen::Index size() const { return size_; }

    /// One more block. What couples the last block to it is left in `coupling`.
    void extend(Matrix& coupling) {
        const Eigen::Index last = size_ - block;
        Matrix w = inverse_.solve(mv_.middleCols(last, block));
        const Matrix onto = mv_.leftCols(size_).transpose() * w;
        h_.block(0, last, size_, block) = onto;
        h_.block(last, 0, block, size_) = onto.transpose();
        w.noalias() -= v_.leftCols(size_) * onto;
        append(w, coupling);
    }
    [[nodiscard]] Eigen::SelfAdjointEigenSolver<Matrix> ritz(Eigen::Index size) const {
        return Eigen::SelfAdjointEigenSolver<Matrix>(h_.topLeftCorner(size, size));
    }
    [[nodiscard]] Matrix vectors(const Matrix& coefficients) const {
        return v_.leftCols(coefficients.rows()) * coefficients;
    }

private:
    [[nodiscard]] Matrix times_mass(const Matrix& x) const { return mass_.selfadjointView<Eigen::Lower>() * x; }
    /// Orthonormal in M against all before (twice is enough: Giraud et al., Numer. Math. 101, 87 (2005), from memory).
    void append(Matrix& w, Matrix& coupling) {
        coupling = Matrix::Identity(block, block);
        for (int pass = 0; pass < 2; ++pass) {
            if (size_ > 0) w -= v_.leftCols(size_) * (mv_.leftCols(size_).transpose() * w).eval();
            const Matrix gram = w.transpose() * times_mass(w);
            const Eigen::SelfAdjointEigenSolver<Matrix> parts(gram);
            const Vector scale = parts.eigenvalues().cwiseMax(1e-28 * parts.eigenvalues().maxCoeff()).cwiseSqrt();
            coupling = (scale.asDiagonal() * parts.eigenvectors().transpose() * coupling).eval();
            w = (w * parts.eigenvectors() * scale.cwiseInverse().asDiagonal()).eval();
        }
        v_.middleCols(size_, block) = w;
        mv_.middleCols(size_, block) = times_mass(w);
        size_ += block;
    }

    const SparseMatrix& mass_;
    const Factor& inverse_;
    Matrix v_, mv_, h_;
    Eigen::Index size_ = 0;
};

}  // namespace

Eigenpairs nearest_modes(const Plate& plate, const Space& space, int count, double shift, const SolveEffort& effort) {
    const Factor inverse(shift == 0.0 ? plate.stiffness : SparseMatrix(plate.stiffness - shift * plate.mass), space, 1);
    const Eigen::Index rows = plate.stiffness.rows();
    const Eigen::Index wanted = std::min<Eigen::Index>(count, rows);
    const Eigen::Index most = std::min<Eigen::Index>(rows / block * block, block * (12 + wanted));
    Krylov space_of(plate.mass, inverse, rows, most);
    Eigenpairs out;
    out.below = inverse.negative();
    while (true) {
        effort.keep_going();
        const Eigen::Index size = space_of.size();
        const bool full = size + block > most;
        Matrix coupling = Matrix::Zero(block, block);
        if (full) throw NoAnswer("the modes do not settle; ask for fewer modes or another accuracy");
        space_of.extend(coupling);
        const auto ritz = space_of.ritz(size);
        std::vector<Eigen::Index> order(static_cast<std::size_t>(size));
        std::iota(order.begin(), order.end(), 0);
        const Vector& theta = ritz.eigenvalues();
        std::sort(order.begin(), order.end(),
                  [&](Eigen::Index a, Eigen::Index b) { return std::abs(theta[a]) > std::abs(theta[b]); });
        if (size < wanted) continue;
        double worst = 0.0;
        Matrix chosen(size, wanted);
        for (Eigen::Index k = 0; k < wanted; ++k) {
            const Eigen::Index at = order[static_cast<std::size_t>(k)];
            chosen.col(k) = ritz.eigenvectors().col(at);
            worst = std::max(worst, (coupling * chosen.col(k).tail(block)).norm() / std::abs(theta[at]));
        }
        if (effort.progress)
            effort.progress({SolveStage::modes, static_cast<std::size_t>(rows), static_cast<int>(size / block), worst});
        if (worst > settled) continue;
        std::vector<Eigen::Index> rising(static_cast<std::size_t>(wanted));
        std::iota(rising.begin(), rising.end(), 0);
        const auto value = [&](Eigen::Index k) { return shift + 1.0 / theta[order[static_cast<std::size_t>(k)]]; };
        std::sort(rising.begin(), rising.end(), [&](Eigen::Index a, Eigen::Index b) { return value(a) < value(b); });
        out.values.resize(wanted);
        Matrix sorted(size, wanted);
        for (Eigen::Index k = 0; k < wanted; ++k) {
            out.values[k] = value(rising[static_cast<std::size_t>(k)]);
            sorted.col(k) = chosen.col(rising[static_cast<std::size_t>(k)]);
        }
        out.vectors = space_of.vectors(sorted);
        out.worst_residual = worst;
        return out;
    }
}

}  // namespace tymbal::spline

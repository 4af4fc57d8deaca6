#include "largest_eigenvalue.h"

#include "strips.h"

#include <Eigen/Eigenvalues>

#include <cmath>

namespace tymbal::spline {

namespace {

constexpr Eigen::Index steps = 12;
constexpr double margin = 1.1;

/// Vectors of D^-1/2 A D^-1/2, field by field of each unknown.
class Scaled {
public:
    Scaled(const Rows& a, const PageVector<float>& inverse_diagonal, unsigned threads)
        : a_(a), root_(inverse_diagonal.size()), in_(inverse_diagonal.size()), threads_(threads) {
        for (std::size_t k = 0; k < root_.size(); ++k) root_[k] = std::sqrt(static_cast<double>(inverse_diagonal[k]));
    }
    void times(const PageVector<double>& x, PageVector<double>& out) {
        each([&](std::size_t k) { in_[k] = root_[k] * x[k]; });
        for_each_strip(rows(), threads_, [&](Run run) {
            product(a_, in_.data(), a_.fields, run, out.data() + run.from * fields());
        });
        each([&](std::size_t k) { out[k] *= root_[k]; });
    }
    double dot(const PageVector<double>& a, const PageVector<double>& b) const {
        return sum_of_strips(rows(), threads_, [&](Run run) {
            double sum = 0.0;
            for (std::size_t k = run.from * fields(); k < run.to * fields(); ++k) sum += a[k] * b[k];
            return sum;
        });
    }
    template <class Work>
    void each(Work work) const {
        for_each_strip(rows(), threads_, [&](Run run) {
            for (std::size_t k = run.from * fields(); k < run.to * fields(); ++k) work(k);
        });
    }
    [[nodiscard]] std::size_t numbers() const { return root_.size(); }

private:
    [[nodiscard]] std::size_t rows() const { return static_cast<std::size_t>(a_.pattern->rows()); }
    [[nodiscard]] std::size_t fields() const { return static_cast<std::size_t>(a_.fields); }
    const Rows& a_;
    PageVector<double> root_, in_;
    unsigned threads_;
};

PageVector<double> start(std::size_t size) {
    PageVector<double> out(size);
    std::uint64_t state = 0x9e3779b97f4a7c15ULL;
    for (double& x : out) {
        state = state * 6364136223846793005ULL + 1442695040888963407ULL;
        x = static_cast<double>(state >> 11) * 0x1p-53 - 0.5;
    }
    return out;
}

}  // namespace

double largest_eigenvalue(const Rows& a, const PageVector<float>& inverse_diagonal, unsigned threads) {
    Scaled matrix(a, inverse_diagonal, threads);
    PageVector<double> q = start(matrix.numbers()), before(matrix.numbers()), w(matrix.numbers());
    const Eigen::Index count = std::min<Eigen::Index>(steps, static_cast<Eigen::Index>(q.size()));
    Eigen::MatrixXd t = Eigen::MatrixXd::Zero(count, count);
    double beta = 0.0, length = std::sqrt(matrix.dot(q, q));
    matrix.each([&](std::size_t k) { q[k] /= length; });
    for (Eigen::Index j = 0; j < count; ++j) {
        matrix.times(q, w);
        const double alpha = t(j, j) = matrix.dot(q, w);
        matrix.each([&](std::size_t k) { w[k] -= alpha * q[k] + beta * before[k]; });
        beta = std::sqrt(matrix.dot(w, w));
        if (j + 1 == count || beta == 0.0) break;
        t(j + 1, j) = t(j, j + 1) = beta;
        matrix.each([&](std::size_t k) {
            before[k] = q[k];
            q[k] = w[k] / beta;
        });
    }
    return margin * Eigen::SelfAdjointEigenSolver<Eigen::MatrixXd>(t, Eigen::EigenvaluesOnly).eigenvalues().maxCoeff();
}

}  // namespace tymbal::spline

#include "smoother.h"

#include "strips.h"

#include "../grid/wide.h"

#include <Eigen/Cholesky>
#include <Eigen/Eigenvalues>

#include <array>
#include <cmath>
#include <map>

namespace tymbal::spline {

namespace {

constexpr int degree_of_polynomial = 4;
constexpr double smoothed_part = 16.0;  ///< largest over least eigenvalue that a smoothing deals with

/// Chebyshev's step k: d = keep d + add B r.
struct Steps {
    std::array<float, degree_of_polynomial> keep{}, add{};
    explicit Steps(double largest) {
        const double least = largest / smoothed_part, middle = 0.5 * (largest + least), half = 0.5 * (largest - least),
                     ratio = middle / half;
        double rho = 1.0 / ratio;
        add[0] = static_cast<float>(1.0 / middle);
        for (std::size_t k = 1; k < degree_of_polynomial; ++k) {
            const double next = 1.0 / (2.0 * ratio - rho);
            keep[k] = static_cast<float>(next * rho);
            add[k] = static_cast<float>(2.0 * next / half);
            rho = next;
        }
    }
};

/// One step. @param set  the correction starts here
struct Step {
    float keep = 0.0F, add = 0.0F;
    bool set = false;
};

/// Scalars are unknowns times fields; each has `lanes` numbers.
TYMBAL_WIDE void take_step(const float* diagonal, Step s, Run scalars, std::size_t lanes,
                           const float* __restrict residual, float* __restrict step, float* __restrict correction) {
    for (std::size_t n = scalars.from; n < scalars.to; ++n) {
        const float turn = s.add * diagonal[n];
        for (std::size_t at = n * lanes; at < (n + 1) * lanes; ++at) {
            step[at] = s.keep == 0.0F ? turn * residual[at] : s.keep * step[at] + turn * residual[at];
            correction[at] = s.set ? step[at] : correction[at] + step[at];
        }
    }
}

/// Inverse of A on some scalars.
Eigen::MatrixXd inverse_on(const Rows& a, const std::vector<int>& unknowns) {
    const auto count = static_cast<Eigen::Index>(unknowns.size()) * a.fields;
    Eigen::MatrixXd out(count, count);
    for (Eigen::Index i = 0; i < count; ++i)
        for (Eigen::Index j = 0; j < count; ++j) {
            const std::int64_t e = a.pattern->entry(unknowns[static_cast<std::size_t>(i / a.fields)],
                                                    unknowns[static_cast<std::size_t>(j / a.fields)]);
            out(i, j) = a.value[static_cast<std::size_t>(e * a.block() + i % a.fields * a.fields + j % a.fields)];
        }
    return out.llt().solve(Eigen::MatrixXd::Identity(count, count));
}

PageVector<double> pseudo_random(std::size_t size) {
    PageVector<double> out(size);
    std::uint64_t state = 0x9e3779b97f4a7c15ULL;
    for (double& x : out) {
        state = state * 6364136223846793005ULL + 1442695040888963407ULL;
        x = static_cast<double>(state >> 11) * 0x1p-53 - 0.5;
    }
    return out;
}

}  // namespace

Smoother::Smoother(const Rows& a, const std::vector<std::vector<int>>& blocks, unsigned threads)
    : a_(a), inverse_diagonal_(static_cast<std::size_t>(a.pattern->rows() * a.fields)), threads_(threads) {
    for (int n = 0; n < a.pattern->rows(); ++n)
        for (int f = 0; f < a.fields; ++f)
            inverse_diagonal_[static_cast<std::size_t>(n * a.fields + f)] = static_cast<float>(
                1.0 / a.value[static_cast<std::size_t>(a.pattern->entry(n, n) * a.block() + f * (a.fields + 1))]);
    build(blocks);
    largest_ = largest_eigenvalue();
}

/// Unknowns of several blocks have as many votes: each counts by the root on both sides, which keeps B symmetric.
void Smoother::build(const std::vector<std::vector<int>>& blocks) {
    std::map<int, std::map<int, double>> rows;
    std::map<int, int> votes;
    for (const auto& block : blocks)
        for (const int u : block) ++votes[u];
    const auto weight = [&](int unknown) { return 1.0 / std::sqrt(votes[unknown]); };
    for (const auto& block : blocks) {
        const Eigen::MatrixXd inverse = inverse_on(a_, block);
        for (Eigen::Index i = 0; i < inverse.rows(); ++i)
            for (Eigen::Index j = 0; j < inverse.rows(); ++j) {
                const int r = block[static_cast<std::size_t>(i / a_.fields)],
                          c = block[static_cast<std::size_t>(j / a_.fields)];
                rows[r * a_.fields + static_cast<int>(i % a_.fields)]
                    [c * a_.fields + static_cast<int>(j % a_.fields)] += inverse(i, j) * weight(r) * weight(c);
            }
    }
    for (const auto& [row, entries] : rows) {
        inverse_diagonal_[static_cast<std::size_t>(row)] = 0.0F;
        block_rows_.row.push_back(row);
        for (const auto& [column, value] : entries) {
            block_rows_.column.push_back(column);
            block_rows_.value.push_back(static_cast<float>(value));
        }
        block_rows_.first.push_back(static_cast<int>(block_rows_.column.size()));
    }
}

/// B r on the rows that lie in blocks, one after the other.
template <class T>
void Smoother::precondition(const T* residual, std::size_t lanes, T* out) const {
    for_each_strip(block_rows_.row.size(), threads_, [&](Run run) {
        for (std::size_t k = run.from; k < run.to; ++k) {
            T* const to = out + k * lanes;
            std::fill(to, to + lanes, T{});
            for (auto e = static_cast<std::size_t>(block_rows_.first[k]);
                 e < static_cast<std::size_t>(block_rows_.first[k + 1]); ++e) {
                const T* const from = residual + static_cast<std::size_t>(block_rows_.column[e]) * lanes;
                for (std::size_t v = 0; v < lanes; ++v) to[v] += static_cast<T>(block_rows_.value[e]) * from[v];
            }
        }
    });
}

void Smoother::take_off(const float* step, float* residual, int lanes) const {
    const auto each = static_cast<std::size_t>(lanes);
    for_each_strip(static_cast<std::size_t>(a_.pattern->rows()), threads_, [&](Run all) {
        std::vector<float> own(chunk * each);
        for_each_chunk(all, [&](Run run) {
            product(a_, step, lanes, run, own.data());
            float* const to = residual + run.from * each;
            for (std::size_t k = 0; k < (run.to - run.from) * each; ++k) to[k] -= own[k];
        });
    });
}

void Smoother::run(float* residual, float* step, float* correction, int lanes, bool first) const {
    const auto fields = static_cast<std::size_t>(a_.fields), each = static_cast<std::size_t>(lanes) / fields;
    const Steps steps(largest_);
    std::vector<float> in_blocks(block_rows_.row.size() * each);
    for (std::size_t k = 0; k < degree_of_polynomial; ++k) {
        if (k > 0) take_off(step, residual, lanes);
        const Step now{steps.keep[k], steps.add[k], k == 0 && first};
        for_each_strip(static_cast<std::size_t>(a_.pattern->rows()), threads_, [&](Run rows) {
            take_step(inverse_diagonal_.data(), now, {rows.from * fields, rows.to * fields}, each, residual, step,
                      correction);
        });
        precondition(residual, each, in_blocks.data());
        for (std::size_t b = 0; b < block_rows_.row.size(); ++b)
            for (std::size_t v = 0; v < each; ++v) {
                const std::size_t at = static_cast<std::size_t>(block_rows_.row[b]) * each + v;
                step[at] += now.add * in_blocks[b * each + v];
                correction[at] += now.add * in_blocks[b * each + v];
            }
    }
}

/// Some steps of Lanczos' iteration for B A, which is symmetric in the product x' A y, and a margin. Source: Golub and
/// Van Loan, Matrix Computations, ch. 10 (from memory).
double Smoother::largest_eigenvalue() const {
    constexpr Eigen::Index steps = 14;
    constexpr double margin = 1.08;
    const auto rows = static_cast<std::size_t>(a_.pattern->rows()), fields = static_cast<std::size_t>(a_.fields);
    const auto each_number = [&](auto work) {
        for_each_strip(rows, threads_, [&](Run run) {
            for (std::size_t k = run.from * fields; k < run.to * fields; ++k) work(k);
        });
    };
    PageVector<double> q = pseudo_random(rows * fields), aq(q.size()), before(q.size()), w(q.size());
    std::vector<double> in_blocks(block_rows_.row.size());
    Eigen::MatrixXd t = Eigen::MatrixXd::Zero(steps, steps);
    double beta = 0.0;
    for (Eigen::Index j = 0; j < steps; ++j) {
        const double square = sum_of_strips(rows, threads_, [&](Run run) {
            product(a_, q.data(), a_.fields, run, aq.data() + run.from * fields);
            double sum = 0.0;
            for (std::size_t k = run.from * fields; k < run.to * fields; ++k) sum += q[k] * aq[k];
            return sum;
        });
        if (!(square > 0.0)) break;
        const double length = std::sqrt(square);
        if (j > 0) t(j, j - 1) = t(j - 1, j) = beta = length;
        each_number([&](std::size_t k) {
            q[k] /= length;
            aq[k] /= length;
            w[k] = static_cast<double>(inverse_diagonal_[k]) * aq[k];
        });
        precondition(aq.data(), 1, in_blocks.data());
        for (std::size_t b = 0; b < in_blocks.size(); ++b)
            w[static_cast<std::size_t>(block_rows_.row[b])] += in_blocks[b];
        const double alpha = t(j, j) = sum_of_strips(rows, threads_, [&](Run run) {
            double sum = 0.0;
            for (std::size_t k = run.from * fields; k < run.to * fields; ++k) sum += w[k] * aq[k];
            return sum;
        });
        each_number([&](std::size_t k) {
            const double next = w[k] - alpha * q[k] - beta * before[k];
            before[k] = q[k];
            q[k] = next;
        });
    }
    return margin * Eigen::SelfAdjointEigenSolver<Eigen::MatrixXd>(t, Eigen::EigenvaluesOnly).eigenvalues().maxCoeff();
}

}  // namespace tymbal::spline

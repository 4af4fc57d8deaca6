#include "tymbal/fit/assign.h"

#include <algorithm>
#include <cmath>

namespace tymbal {

using Eigen::Index;

std::vector<std::array<std::size_t, 2>> best_matching(const Eigen::MatrixXd& gain) {
    const Index rows = gain.rows(), columns = gain.cols();
    Eigen::MatrixXd best = Eigen::MatrixXd::Zero(rows + 1, columns + 1);
    for (Index i = 1; i <= rows; ++i)
        for (Index j = 1; j <= columns; ++j)
            best(i, j) = std::max({best(i - 1, j), best(i, j - 1), best(i - 1, j - 1) + gain(i - 1, j - 1)});
    std::vector<std::array<std::size_t, 2>> pairs;
    for (Index i = rows, j = columns; i > 0 && j > 0;) {
        if (best(i, j) == best(i - 1, j)) {
            --i;
        } else if (best(i, j) == best(i, j - 1)) {
            --j;
        } else {
            --i;
            --j;
            pairs.push_back({static_cast<std::size_t>(i), static_cast<std::size_t>(j)});
        }
    }
    std::reverse(pairs.begin(), pairs.end());
    return pairs;
}

namespace {

using Weights = Eigen::Matrix<long double, Eigen::Dynamic, Eigen::Dynamic>;

/// Summed weight of all matchings of the first i rows and j columns, each counted once.
Weights sums(const Weights& odds) {
    Weights z = Weights::Ones(odds.rows() + 1, odds.cols() + 1);
    for (Index i = 1; i <= odds.rows(); ++i)
        for (Index j = 1; j <= odds.cols(); ++j)
            z(i, j) = z(i - 1, j) + (z(i, j - 1) - z(i - 1, j - 1)) + odds(i - 1, j - 1) * z(i - 1, j - 1);
    return z;
}

}  // namespace

Eigen::MatrixXd pair_chances(const Eigen::MatrixXd& gain) {
    // exp(30) settles a pair; more would only run out of range with many peaks.
    const Weights odds = gain.cwiseMin(30.0).cast<long double>().array().exp().matrix();
    const Weights before = sums(odds);
    const Weights after = sums(odds.reverse());  // the same from the far end
    const Index rows = gain.rows(), columns = gain.cols();
    const long double all = before(rows, columns);
    Eigen::MatrixXd chances(rows, columns);
    for (Index i = 0; i < rows; ++i)
        for (Index j = 0; j < columns; ++j)
            chances(i, j) = static_cast<double>(before(i, j) * odds(i, j) * after(rows - 1 - i, columns - 1 - j) / all);
    return chances;
}

}  // namespace tymbal

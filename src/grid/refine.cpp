#include "tymbal/grid/refine.h"

#include <Eigen/Dense>

#include <algorithm>
#include <cmath>
#include <cstddef>

namespace tymbal {

namespace {

constexpr double standard_errors = 2.5;
constexpr double next_term_share = 0.2;
// Convergence slower than promised by this much of an order: half of the correction is in doubt.
constexpr double slow_by = 0.6;
constexpr double slow_doubt = 0.5;
constexpr double roundoff = 1e-9;  // relative: factorisation and eigensolver
constexpr std::size_t most_grids = 5;

/// Weighted least squares f = f0 + sum a h^p, all figures at once.
struct Fit {
    Eigen::RowVectorXd limit;
    Eigen::RowVectorXd leading;  ///< coefficient of the first power
    Eigen::RowVectorXd scatter;  ///< standard error of the limit from the residuals; zero without spare grids
};

Fit fit(const Eigen::MatrixXd& figures, const Eigen::VectorXd& h, const std::vector<double>& powers) {
    const Eigen::VectorXd weight = h.array().square().inverse();
    Eigen::MatrixXd terms(h.size(), static_cast<Eigen::Index>(powers.size()) + 1);
    terms.col(0).setOnes();
    for (std::size_t p = 0; p < powers.size(); ++p)
        terms.col(static_cast<Eigen::Index>(p) + 1) = h.array().pow(powers[p]);
    const Eigen::MatrixXd a = weight.asDiagonal() * terms;
    const Eigen::MatrixXd b = weight.asDiagonal() * figures;
    const Eigen::MatrixXd x = a.colPivHouseholderQr().solve(b);
    const Eigen::Index spare = a.rows() - a.cols();
    if (spare <= 0) return {x.row(0), x.row(1), Eigen::RowVectorXd::Zero(figures.cols())};
    const double variance = (a.transpose() * a).inverse()(0, 0);
    return {x.row(0), x.row(1),
            ((b - a * x).colwise().squaredNorm() * (variance / static_cast<double>(spare))).cwiseSqrt()};
}

double median(const Eigen::RowVectorXd& values) {
    std::vector<double> sorted(values.begin(), values.end());
    std::nth_element(sorted.begin(), sorted.begin() + values.size() / 2, sorted.end());
    return sorted[static_cast<std::size_t>(values.size() / 2)];
}

}  // namespace

double observed_order(double coarse, double middle, double fine, double h_coarse, double h_middle, double h_fine) {
    const double ratio = (coarse - middle) / (middle - fine);
    if (!(ratio > 0.0) || !std::isfinite(ratio)) return 0.0;
    const auto predicted = [&](double p) {
        return (std::pow(h_coarse, p) - std::pow(h_middle, p)) / (std::pow(h_middle, p) - std::pow(h_fine, p));
    };
    double low = 0.01, high = 12.0;  // predicted() rises with p
    if (ratio <= predicted(low)) return low;
    if (ratio >= predicted(high)) return high;
    for (int step = 0; step < 60; ++step) {
        const double middle_p = 0.5 * (low + high);
        (predicted(middle_p) < ratio ? low : high) = middle_p;
    }
    return 0.5 * (low + high);
}

std::vector<Extrapolated> extrapolate(const std::vector<std::vector<double>>& figures,
                                      const std::vector<double>& spacing, const Expansion& expansion) {
    const std::size_t grids = std::min(figures.size(), most_grids), first = figures.size() - grids;
    const auto count = static_cast<Eigen::Index>(figures.back().size());
    // Figures relative to those of the finest grid, spacings to the finest one.
    Eigen::MatrixXd f(static_cast<Eigen::Index>(grids), count);
    Eigen::VectorXd h(static_cast<Eigen::Index>(grids));
    for (std::size_t g = 0; g < grids; ++g) {
        h[static_cast<Eigen::Index>(g)] = spacing[first + g] / spacing.back();
        for (std::size_t k = 0; k < figures.back().size(); ++k)
            f(static_cast<Eigen::Index>(g), static_cast<Eigen::Index>(k)) =
                figures[first + g][k] / figures.back()[k] - 1.0;
    }
    const double caution = grids < most_grids ? expansion.caution : std::max(1.0, 0.5 * expansion.caution);
    const Fit leading = fit(f, h, {expansion.leading});
    const Fit both = expansion.next > 0.0 ? fit(f, h, {expansion.leading, expansion.next}) : leading;
    // Modes share the grids and their accidents: none is trusted much more than the middle one.
    const double shared = 0.5 * median(both.scatter);
    // Where the leading power is below two, the two terms compete on coarse grids and the observed order says nothing.
    const bool regular = expansion.leading >= 2.0 && expansion.next > 0.0;
    std::vector<Extrapolated> limits;
    for (Eigen::Index k = 0; k < count; ++k) {
        const double fine = figures.back()[static_cast<std::size_t>(k)];
        const Eigen::Index last = f.rows() - 1, middle = last / 2;
        const double order = observed_order(f(0, k), f(middle, k), f(last, k), h[0], h[middle], h[last]);
        const double doubt = expansion.doubt + (regular && order < expansion.leading - slow_by ? slow_doubt : 0.0);
        const double error = standard_errors * caution * std::max(both.scatter[k], shared) +
                             next_term_share * std::abs(both.limit[k] - leading.limit[k]) +
                             doubt * std::abs(both.limit[k]) + roundoff;
        limits.push_back({fine * (1.0 + both.limit[k]), fine * error, order, both.leading[k]});
    }
    return limits;
}

}  // namespace tymbal

// The weights w minimise Sum_i |Sum_j w_j (f_i - f_j)/(z_i - z_j)|^2 over the samples that are no support points: the
// last right singular vector of that Loewner matrix. The next support point is the sample that is met worst. Poles:
// zeros of w^T (z - Z)^-1 1 = eigenvalues of (1 - 1 w^T/Sum w) Z, and a zero that the projection adds.
#include "rational_fit.h"

#include <Eigen/Dense>

#include <algorithm>
#include <cmath>
#include <limits>

namespace tymbal::fourier {

namespace {

using Complex = std::complex<double>;

constexpr int first_samples = 9;
constexpr int foretold_in_turn = 3;

Eigen::VectorXcd last_singular_vector(const Samples& s, const std::vector<std::size_t>& support,
                                      const std::vector<std::size_t>& rest) {
    Eigen::MatrixXcd loewner(static_cast<Eigen::Index>(rest.size()), static_cast<Eigen::Index>(support.size()));
    for (std::size_t i = 0; i < rest.size(); ++i)
        for (std::size_t j = 0; j < support.size(); ++j)
            loewner(static_cast<Eigen::Index>(i), static_cast<Eigen::Index>(j)) =
                (s.value[rest[i]] - s.value[support[j]]) / (s.at[rest[i]] - s.at[support[j]]);
    const Eigen::JacobiSVD<Eigen::MatrixXcd> svd(loewner, Eigen::ComputeFullV);
    return svd.matrixV().col(loewner.cols() - 1);
}

RationalFit fit_on(const Samples& s, const std::vector<std::size_t>& support, const std::vector<std::size_t>& rest) {
    const Eigen::VectorXcd w = last_singular_vector(s, support, rest);
    RationalFit fit;
    for (std::size_t j = 0; j < support.size(); ++j) {
        fit.at.push_back(s.at[support[j]]);
        fit.value.push_back(s.value[support[j]]);
        fit.weight.push_back(w[static_cast<Eigen::Index>(j)]);
    }
    return fit;
}

/// Newton's method on Sum_j w_j/(z - z_j): the eigenvalues above lose digits where poles are close to the axis.
Complex polished(const RationalFit& fit, Complex z) {
    for (int step = 0; step < 6; ++step) {
        Complex sum = 0.0, slope = 0.0;
        for (std::size_t j = 0; j < fit.at.size(); ++j) {
            const Complex term = fit.weight[j] / (z - fit.at[j]);
            sum += term;
            slope -= term / (z - fit.at[j]);
        }
        if (slope == 0.0) break;
        z -= sum / slope;
    }
    return z;
}

Complex residue(const RationalFit& fit, Complex z) {
    Complex sum = 0.0, slope = 0.0;
    for (std::size_t j = 0; j < fit.at.size(); ++j) {
        sum += fit.weight[j] * fit.value[j] / (z - fit.at[j]);
        slope -= fit.weight[j] / ((z - fit.at[j]) * (z - fit.at[j]));
    }
    return sum / slope;
}

double largest(const std::vector<Complex>& values) {
    double out = 0.0;
    for (const Complex v : values) out = std::max(out, std::abs(v));
    return out;
}

Samples all_but(const Samples& s, std::size_t last) {
    const auto count = static_cast<std::ptrdiff_t>(s.at.size() - last);
    return {{s.at.begin(), s.at.begin() + count}, {s.value.begin(), s.value.begin() + count}};
}

/// Where the fits with and without the last samples differ most, away from places already asked.
double most_doubtful(const AdaptiveFit& fit, const FitRange& range) {
    constexpr int raster = 1000;
    std::vector<RationalFit> before;
    for (const Samples& s : fit.samples) before.push_back(fit_rational(all_but(s, 2), range.tolerance));
    const std::vector<double>& asked = fit.samples.front().at;
    const double apart = (range.to - range.from) / (20.0 * static_cast<double>(asked.size()));
    double place = 0.5 * (range.from + range.to), worst = -1.0;
    for (int k = 0; k <= raster; ++k) {
        const double z = range.from + (range.to - range.from) * k / raster;
        if (std::any_of(asked.begin(), asked.end(), [&](double a) { return std::abs(a - z) < apart; })) continue;
        double doubt = 0.0;
        for (std::size_t f = 0; f < before.size(); ++f)
            doubt = std::max(doubt, std::abs(before[f](z) - fit.fits[f](z)));
        if (doubt > worst) {
            worst = doubt;
            place = z;
        }
    }
    return place;
}

void ask(const Sampler& sampler, double z, AdaptiveFit& fit) {
    const std::vector<Complex> values = sampler(z);
    fit.samples.resize(values.size());
    for (std::size_t f = 0; f < values.size(); ++f) {
        fit.samples[f].at.push_back(z);
        fit.samples[f].value.push_back(values[f]);
    }
}

void refit(double tolerance, AdaptiveFit& fit) {
    fit.fits.clear();
    for (const Samples& s : fit.samples) fit.fits.push_back(fit_rational(s, tolerance));
}

}  // namespace

Complex RationalFit::operator()(Complex z) const {
    Complex above = 0.0, below = 0.0;
    for (std::size_t j = 0; j < at.size(); ++j) {
        if (z == at[j]) return value[j];
        const Complex term = weight[j] / (z - at[j]);
        above += term * value[j];
        below += term;
    }
    return above / below;
}

RationalFit fit_rational(const Samples& s, double tolerance) {
    std::vector<std::size_t> support, rest(s.at.size());
    for (std::size_t k = 0; k < rest.size(); ++k) rest[k] = k;
    const double accepted = tolerance * largest(s.value);
    RationalFit fit{{s.at.front()}, {s.value.front()}, {1.0}};
    while (rest.size() > support.size() + 1) {
        const auto miss = [&](std::size_t k) { return std::abs(s.value[k] - fit(s.at[k])); };
        const auto worst =
            std::max_element(rest.begin(), rest.end(), [&](std::size_t a, std::size_t b) { return miss(a) < miss(b); });
        if (!support.empty() && miss(*worst) <= accepted) break;
        support.push_back(*worst);
        rest.erase(worst);
        fit = fit_on(s, support, rest);
    }
    return fit;
}

std::vector<Pole> poles(const RationalFit& fit) {
    const auto n = static_cast<Eigen::Index>(fit.at.size());
    Eigen::VectorXcd w(n), z(n);
    // moved to between 1 and 2, so that no pole near the samples is taken for the added zero
    const auto [low, high] = std::minmax_element(fit.at.begin(), fit.at.end());
    const double from = *low, span = std::max(*high - *low, std::numeric_limits<double>::min());
    for (Eigen::Index j = 0; j < n; ++j) {
        w[j] = fit.weight[static_cast<std::size_t>(j)];
        z[j] = 1.0 + (fit.at[static_cast<std::size_t>(j)] - from) / span;
    }
    Eigen::MatrixXcd matrix = z.asDiagonal();
    matrix.rowwise() -= (w.transpose() * z.asDiagonal() / w.sum()).eval();
    const Eigen::VectorXcd found = Eigen::ComplexEigenSolver<Eigen::MatrixXcd>(matrix, false).eigenvalues();
    std::vector<Pole> out;
    for (const Complex value : found) {
        if (std::abs(value) < 0.1) continue;
        const Complex at = polished(fit, from + (value - 1.0) * span);
        out.push_back({at, residue(fit, at)});
    }
    return out;
}

AdaptiveFit fit_adaptively(const Sampler& sampler, const FitRange& range) {
    AdaptiveFit fit;
    const double middle = 0.5 * (range.from + range.to), half = 0.5 * (range.to - range.from);
    for (int k = 0; k < first_samples; ++k)  // denser towards the ends
        ask(sampler, middle - half * std::cos(std::acos(-1.0) * k / (first_samples - 1)), fit);
    refit(range.tolerance, fit);
    for (int foretold = 0;
         foretold < foretold_in_turn && static_cast<int>(fit.samples.front().at.size()) < range.most;) {
        const double place = most_doubtful(fit, range);
        ask(sampler, place, fit);
        double miss = 0.0;
        for (std::size_t f = 0; f < fit.fits.size(); ++f)
            miss = std::max(miss, std::abs(fit.fits[f](place) - fit.samples[f].value.back()));
        foretold = miss <= range.tolerance ? foretold + 1 : 0;
        fit.error = foretold > 1 ? std::max(fit.error, miss) : miss;
        refit(0.1 * range.tolerance, fit);
    }
    return fit;
}

}  // namespace tymbal::fourier

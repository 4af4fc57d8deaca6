#include "support/exact_modes.h"

#include <Eigen/Dense>

#include <algorithm>
#include <cmath>
#include <numbers>

namespace tymbal::exact {

namespace {

constexpr double pi = std::numbers::pi;
constexpr double large = 300.0;  // argument from which the asymptotic series of I and K hold to the last digit, m < 40

/// Zero of f between two arguments of opposite sign.
template <class Function>
double bisect(Function f, double low, double high) {
    const bool rising = f(low) < 0.0;
    for (int step = 0; step < 100; ++step) {
        const double middle = 0.5 * (low + high);
        ((f(middle) < 0.0) == rising ? low : high) = middle;
    }
    return 0.5 * (low + high);
}

/// First `count` zeros of f above `from`, found by steps that must not hold two of them.
template <class Function>
std::vector<double> zeros(Function f, double from, double step, int count) {
    std::vector<double> found;
    double before = f(from);
    for (double x = from; static_cast<int>(found.size()) < count; x += step) {
        const double after = f(x + step);
        if (before * after < 0.0) found.push_back(bisect(f, x, x + step));
        before = after;
    }
    return found;
}

/// sqrt(2 x/pi) K_m(x) e^x (sign -1: sqrt(2 pi x) I_m(x) e^-x) for large x: Abramowitz and Stegun 9.7.1, 9.7.2.
double asymptotic(int m, double x, double sign) {
    double sum = 1.0, term = 1.0;
    for (int k = 1; k < 60 && std::abs(term) > 1e-17; ++k) {
        term *= sign * (4.0 * m * m - (2.0 * k - 1.0) * (2.0 * k - 1.0)) / (8.0 * k * x);
        sum += term;
    }
    return sum;
}

double scaled_i(int m, double x) {
    if (x < large) return std::cyl_bessel_i(m, x) * std::exp(-x);
    return asymptotic(m, x, -1.0) / std::sqrt(2.0 * pi * x);
}

double scaled_k(int m, double x) {
    if (x < large) return std::cyl_bessel_k(m, x) * std::exp(x);
    return asymptotic(m, x, 1.0) * std::sqrt(0.5 * pi / x);
}

std::vector<double> bessel_zeros(int m, int count) {
    return zeros([m](double x) { return std::cyl_bessel_j(m, x); }, 0.9 * m + 0.5, 0.2, count);
}

double omega(const Film& film, double alpha) {
    const double alpha2 = alpha * alpha;
    return std::sqrt(alpha2 * (film.bending * alpha2 + film.tension) / film.areal_density);
}

/// Lowest `count` of the modes of all angular numbers; `radial(m)` gives the first few of each, rising with m.
template <class Radial>
std::vector<double> gather(Radial radial, int count) {
    std::vector<double> all;
    for (int m = 0;; ++m) {
        const std::vector<double> of_m = radial(m);
        std::sort(all.begin(), all.end());
        const auto wanted = static_cast<std::size_t>(count);
        if (all.size() >= wanted && of_m.front() > all[wanted - 1]) {
            all.resize(wanted);
            return all;
        }
        for (const double value : of_m) all.insert(all.end(), m == 0 ? 1 : 2, value);
    }
}

/// One boundary row of the ring's determinant: values or slopes (over beta) of the four functions at radius r.
struct RingFunctions {
    int m;
    double alpha, beta, outer, inner;

    [[nodiscard]] Eigen::RowVector4d values(double r) const {
        return {std::cyl_bessel_j(m, alpha * r), std::cyl_neumann(m, alpha * r),
                scaled_i(m, beta * r) * std::exp(beta * (r - outer)),
                scaled_k(m, beta * r) * std::exp(beta * (inner - r))};
    }
    /// f' = (m/x) f - f_{m+1} for J, Y, K and (m/x) f + f_{m+1} for I.
    [[nodiscard]] Eigen::RowVector4d slopes(double r) const {
        const RingFunctions next{m + 1, alpha, beta, outer, inner};
        const Eigen::RowVector4d up = next.values(r);
        const Eigen::RowVector4d own = (m / r) * values(r);
        return Eigen::RowVector4d(own[0] - alpha * up[0], own[1] - alpha * up[1], own[2] + beta * up[2],
                                  own[3] - beta * up[3]) /
               beta;
    }
    [[nodiscard]] double determinant() const {
        Eigen::Matrix4d d;
        d << values(outer), slopes(outer), values(inner), slopes(inner);
        for (int c = 0; c < 4; ++c) d.col(c) /= d.col(c).norm();
        return d.determinant();
    }
};

/// Clamped tensioned beams of unit length and one symmetry: X = c - h, both 1 at the end and both with slope t there.
struct Beams {
    Eigen::VectorXd a2, b2, t;

    [[nodiscard]] double cc(Eigen::Index i, Eigen::Index k) const {
        if (i == k) return 0.5 * (1.0 + t[i] * t[i] / a2[i]) - t[i] / a2[i];
        return 2.0 * (t[i] - t[k]) / (a2[k] - a2[i]);
    }
    [[nodiscard]] double hh(Eigen::Index i, Eigen::Index k) const {
        if (i == k) return 0.5 * (1.0 - t[i] * t[i] / b2[i]) + t[i] / b2[i];
        return 2.0 * (t[i] - t[k]) / (a2[i] - a2[k]);
    }
    [[nodiscard]] double ch(Eigen::Index i, Eigen::Index k) const { return 2.0 * (t[k] - t[i]) / (a2[i] + b2[k]); }
    [[nodiscard]] double norm2(Eigen::Index i) const { return cc(i, i) + hh(i, i); }
};

/// cos and cosh: a sin(a/2) + b tanh(b/2) cos(a/2) = 0; sin and sinh: a cos(a/2) - b coth(b/2) sin(a/2) = 0.
Beams beams_of(double tension, bool odd, int count) {
    Beams beams{Eigen::VectorXd(count), Eigen::VectorXd(count), Eigen::VectorXd(count)};
    for (int k = 0; k < count; ++k) {
        const auto slope = [&](double a) {
            const double b = std::sqrt(a * a + tension);
            return odd ? b / std::tanh(0.5 * b) : b * std::tanh(0.5 * b);
        };
        const auto f = [&](double a) {
            return odd ? a * std::cos(0.5 * a) - slope(a) * std::sin(0.5 * a)
                       : a * std::sin(0.5 * a) + slope(a) * std::cos(0.5 * a);
        };
        const double start = pi * (2 * k + (odd ? 2 : 1));
        const double a = bisect(f, start, start + pi);
        beams.a2[k] = a * a;
        beams.b2[k] = a * a + tension;
        beams.t[k] = slope(a);
    }
    return beams;
}

/// int X_i' X_k' of the normalised beams.
Eigen::MatrixXd slope_products(const Beams& beams) {
    const Eigen::Index n = beams.t.size();
    Eigen::MatrixXd p(n, n);
    for (Eigen::Index i = 0; i < n; ++i)
        for (Eigen::Index k = 0; k < n; ++k)
            p(i, k) =
                (beams.a2[i] * (beams.cc(i, k) - beams.ch(i, k)) + beams.b2[i] * (beams.ch(k, i) - beams.hh(i, k))) /
                std::sqrt(beams.norm2(i) * beams.norm2(k));
    return p;
}

/// Values of (areal_density/bending) omega^2 of one symmetry.
Eigen::VectorXd ritz(const Beams& x, const Beams& y, double width, double height) {
    const Eigen::MatrixXd px = slope_products(x) / (width * width), py = slope_products(y) / (height * height);
    const Eigen::Index n = x.t.size();
    Eigen::MatrixXd k(n * n, n * n);
    for (Eigen::Index i = 0; i < n; ++i)
        for (Eigen::Index m = 0; m < n; ++m) k.block(i * n, m * n, n, n) = 2.0 * px(i, m) * py;
    for (Eigen::Index i = 0; i < n; ++i)
        for (Eigen::Index j = 0; j < n; ++j)
            k(i * n + j, i * n + j) += x.a2[i] * x.b2[i] / std::pow(width, 4) + y.a2[j] * y.b2[j] / std::pow(height, 4);
    return Eigen::SelfAdjointEigenSolver<Eigen::MatrixXd>(k, Eigen::EigenvaluesOnly).eigenvalues();
}

}  // namespace

std::vector<double> disc(const Film& film, double radius, int count) {
    const double tension = film.tension * radius * radius / film.bending;
    return gather(
        [&](int m) {
            const int radials = count / (2 * m + 1) + 2;
            const std::vector<double> low = bessel_zeros(m, radials), high = bessel_zeros(m + 1, radials);
            const auto f = [&](double a) {
                const double b = std::sqrt(a * a + tension);
                return a * std::cyl_bessel_j(m + 1, a) +
                       std::cyl_bessel_j(m, a) * b * scaled_i(m + 1, b) / scaled_i(m, b);
            };
            std::vector<double> omegas;
            for (std::size_t s = 0; s < low.size(); ++s)
                omegas.push_back(omega(film, bisect(f, low[s], high[s]) / radius));
            return omegas;
        },
        count);
}

std::vector<double> ring(const Film& film, double outer_radius, double inner_radius, int count) {
    const double width = outer_radius - inner_radius;
    return gather(
        [&](int m) {
            const auto f = [&](double alpha) {
                const double beta = std::sqrt(alpha * alpha + film.tension / film.bending);
                return RingFunctions{m, alpha, beta, outer_radius, inner_radius}.determinant();
            };
            std::vector<double> omegas;
            // alpha exceeds the membrane's wave number, and that exceeds both m/outer and (nearly) pi/width.
            const double from = std::max(m / outer_radius, 0.9 * pi / width);
            for (const double alpha : zeros(f, from, 0.05 * pi / width, count / (2 * m + 1) + 1))
                omegas.push_back(omega(film, alpha));
            return omegas;
        },
        count);
}

std::vector<double> rectangle(const Film& film, double width, double height, int count, int beams) {
    std::vector<double> omegas;
    for (const bool odd_x : {false, true}) {
        for (const bool odd_y : {false, true}) {
            const Beams x = beams_of(film.tension * width * width / film.bending, odd_x, beams);
            const Beams y = beams_of(film.tension * height * height / film.bending, odd_y, beams);
            for (const double value : ritz(x, y, width, height))
                omegas.push_back(std::sqrt(film.bending / film.areal_density * value));
        }
    }
    std::sort(omegas.begin(), omegas.end());
    omegas.resize(static_cast<std::size_t>(count));
    return omegas;
}

double annulus_zero(double ratio, int m, int s) {
    const auto f = [&](double ka) {
        return std::cyl_bessel_j(m, ratio * ka) * std::cyl_neumann(m, ka) -
               std::cyl_bessel_j(m, ka) * std::cyl_neumann(m, ratio * ka);
    };
    return zeros(f, std::max(1.0 * m, 0.9 * pi / (1.0 - ratio)), 0.05 * pi / (1.0 - ratio), s).back();
}

}  // namespace tymbal::exact

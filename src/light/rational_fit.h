// A function of one real variable with poles, known at few places, as a quotient of polynomials: its values between,
// and its poles in the complex plane.
#pragma once

#include <complex>
#include <functional>
#include <vector>

namespace tymbal::fourier {

/// Barycentric: Sum_j w_j f_j/(z - z_j) over Sum_j w_j/(z - z_j).
struct RationalFit {
    std::vector<double> at;                    ///< z_j
    std::vector<std::complex<double>> value;   ///< f_j
    std::vector<std::complex<double>> weight;  ///< w_j
    [[nodiscard]] std::complex<double> operator()(std::complex<double> z) const;
};

struct Pole {
    std::complex<double> at, residue;
};

/// Places and values that a fit is made of, places rising or not.
struct Samples {
    std::vector<double> at;
    std::vector<std::complex<double>> value;
};

/// The fit of lowest degree that meets all samples within `tolerance` (of the largest value), of half as many support
/// points as samples at most. Source: Nakatsukasa, Sete and Trefethen, SIAM J. Sci. Comput. 40, A1494 (2018) (from
/// memory).
[[nodiscard]] RationalFit fit_rational(const Samples& samples, double tolerance);

[[nodiscard]] std::vector<Pole> poles(const RationalFit& fit);

/// Several functions of one variable, asked together.
using Sampler = std::function<std::vector<std::complex<double>>(double)>;

struct AdaptiveFit {
    std::vector<Samples> samples;  ///< one per function, at the same places
    std::vector<RationalFit> fits;
    double error = 0.0;  ///< how far the last places asked lay from what the fits had said of them, at most
};

struct FitRange {
    double from = 0.0, to = 1.0;
    double tolerance = 1e-6;
    int most = 60;  ///< samples
};

/// Asks where fits of all samples and of all but the last differ most, until three places in turn were foretold within
/// the tolerance. A pole far narrower than the distance of samples shows in all of them, as its width over its
/// distance.
[[nodiscard]] AdaptiveFit fit_adaptively(const Sampler& sampler, const FitRange& range);

}  // namespace tymbal::fourier

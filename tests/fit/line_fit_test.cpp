// The oscillator fit against SciPy on the same deterministic spectra.
#include "fit/line_fit.h"
#include "support/approx.h"

#include <doctest/doctest.h>

#include <cmath>

using namespace tymbal;
using Eigen::VectorXd;
using tymbal::sample::Approx;

namespace {

constexpr Eigen::Index points = 401;
constexpr double averages = 30.0;

VectorXd frequencies() {
    return VectorXd::LinSpaced(points, 1e6 - 400.0, 1e6 + 400.0);
}

/// Scatter without a generator: 1 + 0.2 sin(0.7 i^2).
double scatter(Eigen::Index i) {
    return 1.0 + 0.2 * std::sin(0.7 * static_cast<double>(i * i));
}

}  // namespace

// Reference: SciPy 1.10.1 (Debian), scipy.optimize.curve_fit of a + b u + oscillators (u = (f - 1e6)/400) with
// sigma = the model of the step before, repeated 200 times until it stands still, which is the maximum of the gamma
// likelihood; deviations from its covariance over 30 averages. Printed to six decimals.
TEST_SUITE("reference") {
    TEST_CASE("one line on a sloping background agrees with SciPy") {
        const VectorXd hz = frequencies();
        VectorXd power(points);
        const Oscillator truth{1000010.3, 47.0, 25.0};
        for (Eigen::Index i = 0; i < points; ++i)
            power[i] = (1.0 + 0.1 * static_cast<double>(i - 200) / 200.0 + truth(hz[i])) * scatter(i);
        const LineFit fit = fit_lines(hz, power, VectorXd::Ones(points), {{1e6, 60.0, 15.0}}, averages);
        REQUIRE(fit.sound);
        CHECK(fit.lines[0].frequency_hz == Approx(1000011.281384).epsilon(1e-9));
        CHECK(fit.lines[0].width_hz == Approx(47.053853).epsilon(1e-4));
        CHECK(fit.lines[0].height == Approx(24.591949).epsilon(1e-4));
        CHECK(fit.frequency_deviation[0] == Approx(0.687409).epsilon(1e-3));
        CHECK(fit.width_deviation[0] == Approx(1.670441).epsilon(5e-3));  // a faint prior is in ours
    }

    TEST_CASE("two overlapping lines agree with SciPy") {
        const VectorXd hz = frequencies();
        VectorXd power(points);
        const Oscillator a{999960.0, 50.0, 30.0}, b{1000041.0, 35.0, 20.0};
        for (Eigen::Index i = 0; i < points; ++i) power[i] = (1.0 + a(hz[i]) + b(hz[i])) * scatter(i);
        const std::vector<Oscillator> start{{999950.0, 60.0, 20.0}, {1000050.0, 60.0, 20.0}};
        const LineFit fit = fit_lines(hz, power, VectorXd::Ones(points), start, averages);
        REQUIRE(fit.sound);
        CHECK(fit.lines[0].frequency_hz == Approx(999959.229396).epsilon(1e-9));
        CHECK(fit.lines[0].width_hz == Approx(51.489280).epsilon(1e-4));
        CHECK(fit.lines[1].frequency_hz == Approx(1000041.155153).epsilon(1e-9));
        CHECK(fit.lines[1].width_hz == Approx(32.612036).epsilon(1e-4));
        CHECK(fit.frequency_deviation[0] == Approx(0.989863).epsilon(1e-3));
        CHECK(fit.frequency_deviation[1] == Approx(0.892980).epsilon(1e-3));
    }
}

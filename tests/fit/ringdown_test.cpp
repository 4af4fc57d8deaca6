// Decays of known Q, read as amplitude in noise, with and without a bad start.
#include "tymbal/fit/ringdown.h"
#include "support/approx.h"
#include "support/synthetic.h"
#include "tymbal/base/constants.h"
#include "tymbal/base/error.h"

#include <doctest/doctest.h>

#include <cmath>

using namespace tymbal;
using tymbal::sample::Approx;

namespace {

constexpr double hz = 787e3;

/// Squared magnitude of a decaying phasor with noise in both quadratures; `early` multiplies the rate at the start.
Decay decay(double quality, double noise, double seconds, double early, std::uint64_t seed) {
    synthetic::Dice dice(seed);
    Decay d;
    d.frequency_hz = hz;
    const double rate = constants::pi * hz / quality;  // of the amplitude
    const int points = 3000;
    double log_amplitude = 0.0;
    for (int i = 0; i < points; ++i) {
        const double t = seconds * i / points;
        const double a = std::exp(log_amplitude);
        const double x = a + noise * dice.normal(), y = noise * dice.normal();
        d.time_s.push_back(t);
        d.power.push_back(x * x + y * y);
        log_amplitude -= rate * (a > 0.5 ? early : 1.0) * seconds / points;
    }
    return d;
}

}  // namespace

TEST_SUITE("unit") {
    TEST_CASE("Q of an amplitude decay is pi f over its rate, not twice that") {
        const Ringdown r = fit_ringdown(decay(1.1e6, 1e-4, 1.0, 1.0, 1));
        CHECK(r.quality == Approx(1.1e6).epsilon(1e-3));
        CHECK(r.rate == Approx(2.0 * constants::pi * hz / 1.1e6).epsilon(1e-3));
    }

    TEST_CASE("reported sigmas hold over two hundred decays in noise" * doctest::test_suite("slow")) {
        int within_one = 0, within_two = 0;
        for (std::uint64_t seed = 1; seed <= 200; ++seed) {
            const Ringdown r = fit_ringdown(decay(1.1e6, 0.03, 3.0, 1.0, seed + 100));
            const double z = std::abs(r.quality - 1.1e6) / r.quality_deviation;
            within_one += z < 1.0;
            within_two += z < 2.0;
        }
        CAPTURE(within_one);
        CAPTURE(within_two);
        CHECK(within_one >= 122);  // 68.3 % less two sigmas of the count
        CHECK(within_one <= 150);
        CHECK(within_two >= 184);  // 95.4 % less two and a half sigmas of the count
    }

    TEST_CASE("a start that falls faster is noticed and left out") {
        const Ringdown r = fit_ringdown(decay(1.1e6, 0.01, 3.0, 1.4, 3));
        CHECK(r.left_out > 0.1);
        CHECK(std::abs(r.quality - 1.1e6) < 4.0 * r.quality_deviation);
        CHECK(fit_ringdown(decay(1.1e6, 0.01, 3.0, 1.0, 3)).left_out == 0.0);
    }

    TEST_CASE("a trace that does not decay has no Q") {
        CHECK_THROWS_AS((void)fit_ringdown(decay(1e12, 0.01, 1.0, 1.0, 4)), NoAnswer);
        Decay d = decay(1.1e6, 0.01, 3.0, 1.0, 5);
        d.frequency_hz = 0.0;
        CHECK_THROWS_WITH_AS((void)fit_ringdown(d), doctest::Contains("(frequency)"), NoAnswer);
        d.frequency_hz = hz;
        d.power.assign(d.power.size(), 0.5);
        CHECK_THROWS_WITH_AS((void)fit_ringdown(d), doctest::Contains("same value everywhere"), NoAnswer);
        d.time_s.resize(15);
        d.power.resize(15);
        CHECK_THROWS_WITH_AS((void)fit_ringdown(d), doctest::Contains("fewer than 16 points"), NoAnswer);
    }
}

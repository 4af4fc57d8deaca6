#include "tymbal/cavity/spring_fit.h"

#include "support/approx.h"

#include "tymbal/base/error.h"
#include "tymbal/cavity/cooling.h"

#include <doctest/doctest.h>

#include <cmath>
#include <random>

using namespace tymbal;
using sample::Approx;

namespace {

// The reference drum of cooling_test.cpp in its cavity.
constexpr double frequency = 401.610e3, linewidth = 0.0402, g0 = 15.946, kappa = 262.42e3, share = 0.909;
const SpringLight known{1064e-9, 1e-7, share, 240e3, 0.35};

std::vector<DetunedLine> made(double noise, unsigned seed, double deviation, int rows = 14) {
    std::mt19937_64 random(seed);
    std::normal_distribution<double> normal;
    std::vector<DetunedLine> lines;
    for (int k = 0; k < rows; ++k) {
        const double detuning = -(0.1 + 1.2 * k / (rows - 1)) * 400e3;
        const OpticalForce force =
            optical_force({1064e-9, kappa, share * kappa}, {frequency, linewidth, 0.0, g0}, {known.power_w, detuning});
        lines.push_back({detuning, frequency + force.spring_hz + noise * normal(random), deviation,
                         linewidth + force.damping_hz + noise * normal(random), deviation});
    }
    return lines;
}

}  // namespace

TEST_SUITE("unit") {
    TEST_CASE("lines without scatter give back coupling, width of the cavity and the mode without light") {
        const SpringFit fit = fit_spring(made(0.0, 1, 0.5), known);
        CHECK(fit.g0_hz == Approx(g0).epsilon(1e-3));
        CHECK(fit.kappa_hz == Approx(kappa).epsilon(3e-3));
        CHECK(fit.kappa_is_found);
        CHECK(fit.frequency_hz == Approx(frequency).epsilon(1e-7));
        CHECK(std::abs(*fit.linewidth_hz - linewidth) < fit.linewidth_deviation_hz);
    }

    TEST_CASE("frequencies alone are enough, and widths are then not made up") {
        std::vector<DetunedLine> lines = made(0.5, 3, 0.5);
        for (DetunedLine& line : lines) line.width_hz.reset();
        const SpringFit fit = fit_spring(lines, known);
        CHECK_FALSE(fit.linewidth_hz.has_value());
        CHECK(std::abs(fit.g0_hz - g0) < 3.0 * fit.g0_deviation_hz);
    }

    TEST_CASE("scatter takes the place of deviations that are not stated") {
        std::vector<DetunedLine> lines = made(0.8, 5, 0.0, 60);
        const SpringFit fit = fit_spring(lines, known);
        CHECK_FALSE(fit.misfit.has_value());
        CHECK(std::abs(fit.g0_hz - g0) < 3.0 * fit.g0_deviation_hz);
        const SpringFit stated = fit_spring(made(0.8, 5, 0.8, 60), known);
        CHECK(fit.g0_deviation_hz / stated.g0_deviation_hz > 0.8);
        CHECK(fit.g0_deviation_hz / stated.g0_deviation_hz < 1.25);
    }

    TEST_CASE("stated deviations that do not cover widen the result, also where widths state none") {
        const SpringFit honest = fit_spring(made(1.0, 7, 1.0, 60), known);
        std::vector<DetunedLine> bold = made(1.0, 7, 0.1, 60);
        const SpringFit all = fit_spring(bold, known);
        CHECK(*all.misfit > 50.0);
        CHECK(all.g0_deviation_hz == Approx(honest.g0_deviation_hz).epsilon(0.2));
        for (DetunedLine& line : bold) line.width_deviation_hz = 0.0;
        const SpringFit some = fit_spring(bold, known);
        CHECK(*some.misfit > 50.0);
        CHECK(some.g0_deviation_hz > 0.8 * honest.g0_deviation_hz);
    }

    TEST_CASE("too few lines, and lines that do not follow the light, are no coupling") {
        CHECK_THROWS_AS((void)fit_spring({}, known), NoAnswer);
        CHECK_THROWS_AS((void)fit_spring(made(0.0, 1, 0.5, 3), known), NoAnswer);
        std::vector<DetunedLine> one_place = made(0.5, 1, 0.5);
        for (DetunedLine& line : one_place) line.detuning_hz = -200e3;
        CHECK_THROWS_AS((void)fit_spring(one_place, known), NoAnswer);
        std::vector<DetunedLine> still = made(0.0, 1, 0.5);
        for (std::size_t k = 0; k < still.size(); ++k) {
            still[k].frequency_hz = frequency + (k % 2 == 0 ? 0.4 : -0.4);
            still[k].width_hz = 1.0 + (k % 3 == 0 ? 0.4 : -0.2);
        }
        CHECK_THROWS_WITH_AS((void)fit_spring(still, known), doctest::Contains("laser less cavity"), NoAnswer);
        std::vector<DetunedLine> turned = made(0.0, 1, 0.5);
        for (DetunedLine& line : turned) line.detuning_hz = -line.detuning_hz;  // light would drive the mode
        CHECK_THROWS_AS((void)fit_spring(turned, known), NoAnswer);
    }
}

TEST_SUITE("invariant") {
    TEST_CASE("of two hundred scattered scans, deviations of coupling and cavity hold what they promise") {
        int g_one = 0, g_two = 0, k_two = 0;
        constexpr int scans = 200;
        for (unsigned seed = 1; seed <= scans; ++seed) {
            const SpringFit fit = fit_spring(made(1.5, seed, seed % 2 == 0 ? 1.5 : 0.0), known);
            const double off = std::abs(fit.g0_hz - g0) / fit.g0_deviation_hz;
            g_one += off <= 1.0 ? 1 : 0;
            g_two += off <= 2.0 ? 1 : 0;
            k_two += std::abs(fit.kappa_hz - kappa) <= 2.0 * fit.kappa_deviation_hz ? 1 : 0;
        }
        MESSAGE("g0 within one deviation ", g_one, ", within two ", g_two, "; kappa within two ", k_two);
        CHECK(g_one >= 120);  // 137 of a normal law, less three of its deviations and some
        CHECK(g_one <= 160);
        CHECK(g_two >= 180);
        CHECK(k_two >= 180);
    }
}

#include "tymbal/grid/refine.h"
#include "support/approx.h"

#include <doctest/doctest.h>

#include <cmath>
#include <cstdint>

using namespace tymbal;

namespace {

const std::vector<double> ladder{1.0, 2.0 / 3.0, 0.5, 0.4, 1.0 / 3.0};

std::vector<std::vector<double>> figures(double limit, double a, double p, double b, double q) {
    std::vector<std::vector<double>> rows;
    for (const double h : ladder) rows.push_back({limit + a * std::pow(h, p) + b * std::pow(h, q)});
    return rows;
}

}  // namespace

TEST_SUITE("unit") {
    TEST_CASE("the observed order is the exponent of a pure power, whatever the ratio of the grids") {
        for (const double p : {0.5, 1.0, 4.0 / 3.0, 2.0, 3.3})
            CHECK(observed_order(3 + 1, 3 + std::pow(0.6, p), 3 + std::pow(0.5, p), 1, 0.6, 0.5) == sample::Approx(p));
        CHECK(observed_order(1.0, 1.2, 1.1, 1.0, 0.5, 0.25) == 0.0);  // not monotonic
    }

    TEST_CASE("two known powers are removed exactly") {
        for (const auto& [p, q] : {std::pair{2.0, 3.0}, std::pair{2.0, 4.0}, std::pair{4.0 / 3.0, 2.0}}) {
            const auto limit = extrapolate(figures(5.0, 0.3, p, -0.1, q), ladder, {p, q, 0.0}).front();
            CHECK(limit.value == sample::Approx(5.0).epsilon(1e-12));
        }
    }

    TEST_CASE("an unexpected order shows in the error") {
        // First order where second and third were promised.
        const auto limit = extrapolate(figures(5.0, 0.3, 1.0, 0.0, 2.0), ladder, {2.0, 3.0, 0.0}).front();
        CHECK(std::abs(limit.value - 5.0) > 0.01);
        CHECK(limit.error > 0.4 * std::abs(limit.value - 5.0));
        CHECK(limit.order == sample::Approx(1.0));
    }

    TEST_CASE("doubt adds its part of the correction to the error") {
        const auto rows = figures(5.0, 0.3, 2.0, 0.0, 3.0);
        const auto sure = extrapolate(rows, ladder, {2.0, 3.0, 0.0}).front();
        const auto unsure = extrapolate(rows, ladder, {2.0, 3.0, 0.1}).front();
        CHECK(unsure.error - sure.error == sample::Approx(0.1 * 0.3 / 9.0).epsilon(1e-6));
    }
}

TEST_SUITE("reference") {
    TEST_CASE(
        "one grid more than terms shows its scatter: 2.5 standard errors of a weighted line through three points") {
        // f = 1, 1.001, 1 at h = 4, 2, 1, weighted with h^-2, fitted with f0 + a h^2. [computed: numpy.linalg.lstsq]
        const auto limit = extrapolate({{1.0}, {1.001}, {1.0}}, {4.0, 2.0, 1.0}, {2.0, 0.0}).front();
        CHECK(limit.value - 1.0 == sample::Approx(-9.52380952e-5).epsilon(1e-6));
        CHECK(limit.error == sample::Approx(6.8732e-4).epsilon(1e-4));
    }

    TEST_CASE("scatter like that of cut grids is covered in 95 of 100 cases") {
        // 500 ladders of 8 modes with c h^2 + b h^3, c scattering by 2 % (standard deviation) from grid to grid, half
        // of it common to all modes: the size measured on rings (tests/bench). Numbers from a fixed linear congruence.
        std::uint64_t state = 12345;
        const auto even = [&state] {
            state = 6364136223846793005ULL * state + 1442695040888963407ULL;
            return static_cast<double>(state >> 11) * 0x1.0p-53 - 0.5;
        };
        int covered = 0;
        for (int trial = 0; trial < 500; ++trial) {
            std::vector<std::vector<double>> rows;
            for (const double h : ladder) {
                const double common = even();
                rows.push_back({});
                for (int mode = 0; mode < 8; ++mode)
                    rows.back().push_back(1.0 + 0.02 * h * h * (1.0 + 0.05 * (common + even())) + 0.004 * h * h * h);
            }
            for (const Extrapolated& limit : extrapolate(rows, ladder, {2.0, 3.0, 0.005}))
                covered += std::abs(limit.value - 1.0) <= limit.error ? 1 : 0;
        }
        MESSAGE("covered: ", covered, " of 4000");
        CHECK(covered >= 3800);
    }
}

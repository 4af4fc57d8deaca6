#include "tymbal/cavity/mirrors.h"
#include "tymbal/base/constants.h"

#include <doctest/doctest.h>

#include <cmath>
#include <complex>
#include <random>

using namespace tymbal;

namespace {

constexpr double wavelength = 1064e-9;

/// A Gaussian beam's 1/q = 1/R + i lambda/(pi w^2) after a way and a mirror.
std::complex<double> through(std::complex<double> q, double length) {
    return q + length;
}
std::complex<double> reflected(std::complex<double> q, double radius) {
    return 1.0 / (1.0 / q - 2.0 / radius);
}

}  // namespace

TEST_SUITE("reference") {
    TEST_CASE("confocal mirrors make a waist of sqrt(lambda L/2 pi), flat and curved ones their textbook spot") {
        // Kogelnik and Li, Appl. Opt. 5, 1550 (1966) (from memory)
        const double length = 0.01;
        const auto confocal = spot_radius_m({length, length, length}, wavelength, 0.5 * length);
        REQUIRE(confocal.has_value());
        CHECK(std::abs(*confocal / std::sqrt(wavelength * length / (2.0 * constants::pi)) - 1.0) < 1e-12);
        const double radius = 0.025;
        const auto flat = spot_radius_m({length, {}, radius}, wavelength, 0.0);
        REQUIRE(flat.has_value());
        const double squared = wavelength / constants::pi * std::sqrt(length * (radius - length));
        CHECK(std::abs(*flat / std::sqrt(squared) - 1.0) < 1e-12);
    }
}

TEST_SUITE("invariant") {
    TEST_CASE("the spot comes back to itself after a round trip, and mirrors outside 0 < g1 g2 < 1 have none") {
        std::mt19937 random(3);
        std::uniform_real_distribution<double> any(0.002, 0.1);
        int stable = 0;
        for (int k = 0; k < 200; ++k) {
            const double length = any(random), first = any(random), second = any(random);
            const Resonator r{length, first, second};
            const auto at_input = spot_radius_m(r, wavelength, 0.0);
            const bool inside = stability(r) > 0.0 && stability(r) < 1.0;
            REQUIRE(at_input.has_value() == inside);
            if (!inside) continue;
            ++stable;
            // A mode meets a mirror with that mirror's own curvature: from the first it leaves with R = -first.
            const double spread = wavelength / (constants::pi * *at_input * *at_input);
            const std::complex<double> start = 1.0 / std::complex<double>(-1.0 / first, spread);
            const std::complex<double> back =
                reflected(through(reflected(through(start, length), second), length), first);
            REQUIRE(std::abs(back / start - 1.0) < 1e-6);
        }
        CHECK(stable > 40);
        CHECK_FALSE(spot_radius_m({0.01, {}, {}}, wavelength, 0.0).has_value());
    }
}

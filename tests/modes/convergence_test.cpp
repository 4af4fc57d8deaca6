// Orders of convergence of single grids, no extrapolation: the ladder in find_modes relies on them.
#include "support/approx.h"
#include "tymbal/modes/find_modes.h"

#include "support/exact_modes.h"
#include "support/films.h"

#include <doctest/doctest.h>

#include <cmath>
#include <numbers>

using namespace tymbal;

namespace {

/// Mean over a few neighbouring grids of |omega/exact - 1| of the first mode: where the rim cuts the grid, single grids
/// scatter.
double mean_error(const ModeProblem& problem, RimTreatment rim, double exact, int cells) {
    double sum = 0.0;
    for (const int extra : {0, 2, 4, 6}) {
        const Level level = solve_level(problem, cells + extra, cells + extra, rim);
        sum += std::abs(std::sqrt(level.corrected(0)) / exact - 1.0) * std::pow(1.0 + 1.0 * extra / cells, 2);
    }
    return 0.25 * sum;
}

double order(const Outline& outline, double tension, double bending, RimTreatment rim, double exact, int coarse,
             int fine) {
    const ModeProblem problem{outline, simple::film(tension, bending), 1, 1e-3};
    const double p = std::log(mean_error(problem, rim, exact, coarse) / mean_error(problem, rim, exact, fine)) /
                     std::log(1.0 * fine / coarse);
    MESSAGE("measured order: ", p);
    return p;
}

/// Unit square turned by `angle` about the origin.
Outline turned_square(double angle) {
    const double c = std::cos(angle), s = std::sin(angle);
    return Polygon{{{0, 0}, {c, s}, {c - s, s + c}, {-s, c}}};
}

constexpr RimTreatment thin = RimTreatment::thin_layer, full = RimTreatment::resolved;

}  // namespace

TEST_SUITE("convergence") {
    TEST_CASE("rectangles converge with second order: membrane, plate, both") {
        CHECK(order(simple::rectangle(1, 0.7), 1, 1e-14, thin, std::numbers::pi * std::sqrt(1 + 1 / 0.49), 16, 48) >=
              1.8);
        CHECK(order(simple::rectangle(1, 0.7), 0, 1, full, exact::rectangle({0, 1, 1}, 1, 0.7, 1, 20)[0], 16, 48) >=
              1.8);
        CHECK(order(simple::rectangle(1, 0.7), 200, 1, full, exact::rectangle({200, 1, 1}, 1, 0.7, 1, 20)[0], 32, 96) >=
              1.8);
    }

    TEST_CASE("discs converge with second order: membrane, plate, both") {
        CHECK(order(simple::disc(2), 1, 1e-14, thin, 2.404825557695773, 16, 64) >= 1.8);
        CHECK(order(simple::disc(2), 0, 1, full, exact::disc({0, 1, 1}, 1, 1)[0], 16, 64) >= 1.8);
        CHECK(order(simple::disc(2), 100, 1, full, exact::disc({100, 1, 1}, 1, 1)[0], 32, 96) >= 1.8);
    }

    TEST_CASE("rings converge with second order: membrane, plate, both") {
        CHECK(order(simple::ring(2, 0.8), 1, 1e-14, thin, exact::annulus_zero(0.4, 0, 1), 24, 96) >= 1.8);
        CHECK(order(simple::ring(2, 0.8), 0, 1, full, exact::ring({0, 1, 1}, 1, 0.4, 1)[0], 32, 96) >= 1.8);
        CHECK(order(simple::ring(2, 0.8), 400, 1, full, exact::ring({400, 1, 1}, 1, 0.4, 1)[0], 48, 128) >= 1.8);
    }

    TEST_CASE("a square that lies oblique on the grid converges with second order to the straight one") {
        for (const double angle : {0.3, 0.6}) {
            CHECK(order(turned_square(angle), 1, 1e-14, thin, std::numbers::pi * std::sqrt(2.0), 20, 80) >= 1.8);
            CHECK(order(turned_square(angle), 0, 1, full, 35.98519, 24, 80) >= 1.8);
        }
    }

    TEST_CASE("the L-shaped membrane converges with order 4/3 once the grid is fine") {
        // Exponent 2 pi/(3 pi/2) = 4/3 of the re-entrant corner: Strang and Fix (1973), ch. 8, from memory. Below 100
        // cells the h^2 of the rest cancels part of it: measured 0.84 at 32, 1.09 at 64, 1.20 at 128, 1.26 at 256
        // cells.
        const ModeProblem problem{Polygon{{{0, 0}, {2, 0}, {2, 1}, {1, 1}, {1, 2}, {0, 2}}}, simple::film(1, 1e-14), 3,
                                  1e-3};
        const Level coarse = solve_level(problem, 192, 192, thin), fine = solve_level(problem, 256, 256, thin);
        const double exact = 9.6397238440219;  // Fox, Henrici and Moler, SIAM J. Numer. Anal. 4, 89 (1967)
        const double p =
            std::log((coarse.values[0] / exact - 1.0) / (fine.values[0] / exact - 1.0)) / std::log(256.0 / 192.0);
        MESSAGE("measured order: ", p);
        CHECK(p > 1.2);
        CHECK(p < 1.4);
        // The third mode, sin sin, does not see the corner: second order.
        const double smooth = 2.0 * std::numbers::pi * std::numbers::pi;
        const double q =
            std::log((1.0 - coarse.values[2] / smooth) / (1.0 - fine.values[2] / smooth)) / std::log(256.0 / 192.0);
        CHECK(q == sample::Approx(2.0).epsilon(0.01));
    }
}

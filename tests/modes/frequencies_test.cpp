#include "support/approx.h"
#include "tymbal/modes/find_modes.h"

#include "support/exact_modes.h"
#include "support/films.h"

#include <doctest/doctest.h>

#include <cmath>
#include <numbers>

using namespace tymbal;
using std::numbers::pi;

namespace {

double omega(const Mode& mode) {
    return 2.0 * pi * mode.frequency_hz;
}
double error(const Mode& mode) {
    return 2.0 * pi * mode.discretisation_error_hz;
}

/// Found within its own error bar, and the bar within the accuracy asked for.
void agree(const ModeSet& set, const std::vector<double>& exact) {
    for (std::size_t k = 0; k < exact.size(); ++k) {
        CAPTURE(k);
        CHECK(std::abs(omega(set.modes[k]) - exact[k]) <= error(set.modes[k]));
        CHECK(error(set.modes[k]) <= 1e-3 * exact[k]);
    }
}

PaintedFilm membrane(double length) {
    return simple::film(1.0, 1e-14 * length * length);
}

}  // namespace

TEST_SUITE("reference") {
    TEST_CASE("a disc membrane has the zeros of the Bessel functions") {
        // Abramowitz and Stegun, table 9.5.
        agree(find_modes({simple::disc(2), membrane(1), 6, 1e-3}),
              {2.404825558, 3.831705970, 3.831705970, 5.135622302, 5.135622302, 5.520078110});
    }

    TEST_CASE("an annular membrane has the zeros of the cross products") {
        agree(find_modes({simple::ring(2, 1), membrane(1), 3, 1e-3}), {6.24606, 6.39316, 6.39316});
        agree(find_modes({simple::ring(2, 0.5), membrane(1), 1, 1e-3}), {4.09769});
    }

    TEST_CASE("the L-shaped membrane has the eigenvalue of Fox, Henrici and Moler") {
        // 9.6397238440219: SIAM J. Numer. Anal. 4, 89 (1967); Trefethen and Betcke, Contemp. Math. 412, 297 (2006).
        // Second 15.1972519 (Trefethen and Betcke), third 2 pi^2 exactly.
        const ModeSet set =
            find_modes({Polygon{{{0, 0}, {2, 0}, {2, 1}, {1, 1}, {1, 2}, {0, 2}}}, membrane(1), 3, 1e-3});
        agree(set, {std::sqrt(9.6397238440219), std::sqrt(15.1972519), std::sqrt(2.0) * pi});
        MESSAGE("first eigenvalue: ", omega(set.modes[0]) * omega(set.modes[0]));
    }

    TEST_CASE("Leissa's clamped plates: square and disc") {
        // Square: converged values, see exact_modes_test.cpp; disc: NASA SP-160 (1969), table 2.1.
        agree(find_modes({simple::rectangle(1, 1), simple::film(0, 1), 6, 1e-3}),
              {35.98519, 73.39385, 73.39385, 108.21651, 131.58078, 132.20480});
        agree(find_modes({simple::disc(2), simple::film(0, 1), 3, 1e-3}), {10.21583, 21.26037, 21.26037});
    }

    TEST_CASE("clamped squares between plate and membrane") {
        // N L^2/D = 10, 100, 1e3, 1e4: 39.1667, 60.1719, 151.4546, 453.803 (Ritz series, see exact_modes.h).
        const double tensions[] = {10, 100, 1e3, 1e4}, values[] = {39.1667, 60.1719, 151.4546, 453.8037};
        for (std::size_t k = 0; k < 4; ++k)
            agree(find_modes({simple::rectangle(1, 1), simple::film(tensions[k], 1), 1, 1e-3}), {values[k]});
    }

    TEST_CASE("clamped discs between plate and membrane") {
        // N R^2/D = 1e2, 1e3, 1e4, 1e6: 27.4835, 78.7593, 242.982, 2407.240 (Wah's equation, see exact_modes.h).
        const double tensions[] = {1e2, 1e3, 1e4, 1e6}, values[] = {27.4835, 78.7593, 242.982, 2407.240};
        for (std::size_t k = 0; k < 4; ++k)
            agree(find_modes({simple::disc(2), simple::film(tensions[k], 1), 1, 1e-3}), {values[k]});
    }

    TEST_CASE("a plain 1 mm square at 1 GPa and 3100 kg/m^3: 401.610 kHz, raised by the clamped layer") {
        // f = sqrt(stress/density)/(sqrt 2 L), times 1 + 2 delta/L, delta = 234.5 nm at 50 nm, 250 GPa, nu 0.23
        // [derived].
        const ModeSet set = find_modes({simple::rectangle(1e-3, 1e-3), simple::nitride(50e-9, 1e9), 1, 1e-3});
        CHECK(set.modes[0].frequency_hz == sample::Approx(401610.0 * (1.0 + 2.0 * 234.5e-6)).epsilon(2e-6));
    }

    TEST_CASE("modes that change places between grids keep their own limits") {
        // Aspect ratio at which the sixth and seventh mode cross on the coarse grid (found by the sweep of seed 1).
        for (const double aspect : {1.62, 1.65, 1.7, 1.75, 2.05, 2.6, 2.9}) {
            const ModeProblem problem{simple::rectangle(aspect, 1), simple::film(1e4, 1), 8, 1e-3};
            const ModeSet set = find_modes(problem);
            agree(set, exact::rectangle({1e4, 1, 1}, aspect, 1, 8, 14));
        }
    }

    TEST_CASE("no mode of a degenerate pair is missed") {
        // A single-vector Lanczos iteration lost the second mode of one nodal diameter on this ring.
        const ModeProblem problem{simple::ring(100e-6, 70e-6 * std::exp(-0.03)), simple::nitride(50e-9, 1e9), 5, 1e-3};
        const Level level = solve_level(problem, 92, 92, RimTreatment::thin_layer);
        CHECK(level.values[2] == sample::Approx(level.values[1]).epsilon(1e-9));
        CHECK(level.values[4] == sample::Approx(level.values[3]).epsilon(2e-3));
    }
}

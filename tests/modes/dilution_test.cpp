// How much of a mode's energy is bending: the integrals behind dissipation dilution.
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

double bending_share(const Mode& mode) {
    return (mode.integrals.bending_interior + mode.integrals.bending_edge) / mode.integrals.stiffness;
}

}  // namespace

TEST_SUITE("reference") {
    TEST_CASE("a thin square has the dilution of Yu, Purdy and Regal, edge and interior apart") {
        // W_bend/W = 2 l + (m^2 + n^2) pi^2 l^2, l = delta/L: Phys. Rev. Lett. 108, 083603 (2012) (formula from memory,
        // derived).
        const double l = 1e-3;
        const ModeSet set = find_modes({simple::rectangle(1, 1), simple::film(1.0, l * l), 6, 1e-3});
        const int sum_of_squares[] = {2, 5, 5, 8, 10, 10};
        for (std::size_t k = 0; k < 6; ++k) {
            const ModeIntegrals& i = set.modes[k].integrals;
            // The formula is the first order of each: corrections are 2 % at k delta = 0.01 and the layer's own l.
            CHECK(i.bending_edge / i.stiffness == sample::Approx(2.0 * l).epsilon(0.01));
            CHECK(i.bending_interior / i.stiffness ==
                  sample::Approx(sum_of_squares[k] * pi * pi * l * l).epsilon(0.02));
        }
    }

    TEST_CASE("the clamped square's exact bending share, N L^2/D = 1e3 and 1e4") {
        // 0.086733 and 0.022384 from the Ritz series (the closed formula is 4.3 % and 1.8 % lower).
        const double tensions[] = {1e3, 1e4}, shares[] = {0.086733, 0.022384}, bars[] = {0.015, 0.01};
        for (std::size_t k = 0; k < 2; ++k) {
            const double share = exact::bending_share(
                {tensions[k], 1, 1}, [](const exact::Film& f) { return exact::rectangle(f, 1, 1, 1); }, 0);
            CHECK(share == sample::Approx(shares[k]).epsilon(3e-5));
            const ModeSet set = find_modes({simple::rectangle(1, 1), simple::film(tensions[k], 1.0), 1, 1e-3});
            MESSAGE("N L^2/D = ", tensions[k], ": ", bending_share(set.modes[0]), " exact ", share);
            CHECK(bending_share(set.modes[0]) == sample::Approx(share).epsilon(bars[k]));
        }
    }

    TEST_CASE("the clamped disc's exact bending share, N R^2/D = 1e3, 1e4 and 1e6") {
        // 0.038471, 0.0106818, 0.00100679 from Wah's equation; formula delta/R + j^2 (delta/R)^2.
        const double tensions[] = {1e3, 1e4, 1e6}, shares[] = {0.038471, 0.0106818, 0.00100679};
        for (std::size_t k = 0; k < 3; ++k) {
            const double share = exact::bending_share(
                {tensions[k], 1, 1}, [](const exact::Film& f) { return exact::disc(f, 1, 1); }, 0);
            CHECK(share == sample::Approx(shares[k]).epsilon(2e-5));
            const ModeSet set = find_modes({simple::disc(2), simple::film(tensions[k], 1.0), 1, 1e-3});
            MESSAGE("N R^2/D = ", tensions[k], ": ", bending_share(set.modes[0]), " exact ", share);
            CHECK(bending_share(set.modes[0]) == sample::Approx(share).epsilon(0.02));
        }
    }

    TEST_CASE("a rectangle's edge share is 2 delta (kx^2/Lx + ky^2/Ly)/(kx^2 + ky^2)") {
        // Each side's layer stores sqrt(D N) (dw/dn)^2/4 per length [derived].
        const double delta = 5e-4, lx = 2.0, ly = 1.0;
        const ModeSet set = find_modes({simple::rectangle(lx, ly), simple::film(1.0, delta * delta), 1, 1e-3});
        const double kx2 = pi * pi / (lx * lx), ky2 = pi * pi / (ly * ly);
        CHECK(set.modes[0].integrals.bending_edge / set.modes[0].integrals.stiffness ==
              sample::Approx(2.0 * delta * (kx2 / lx + ky2 / ly) / (kx2 + ky2)).epsilon(5e-3));
    }

    TEST_CASE("effective masses are a quarter of the square's film and 0.26951 of the disc's") {
        // int sin^2 sin^2 = 1/4; disc: J1(j01)^2 = 0.26951 (Abramowitz and Stegun, table 9.5).
        const ModeSet square = find_modes({simple::rectangle(1, 1), simple::film(1.0, 1e-12), 2, 1e-3});
        CHECK(square.modes[0].integrals.mass == sample::Approx(0.25).epsilon(1e-3));
        CHECK(square.modes[0].integrals.net_mass * square.modes[0].integrals.net_mass ==
              sample::Approx(std::pow(4.0 / (pi * pi), 2)).epsilon(5e-3));
        const ModeSet disc = find_modes({simple::disc(2), simple::film(1.0, 1e-12), 1, 1e-3});
        CHECK(disc.modes[0].integrals.mass == sample::Approx(0.26951 * pi).epsilon(2e-3));
    }
}

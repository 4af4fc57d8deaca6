// Modes inside the spectrum: the same ones, with the same numbers, that a list from the lowest has.
#include "support/approx.h"
#include "support/films.h"

#include "tymbal/base/error.h"
#include "tymbal/geometry/openings.h"
#include "tymbal/modes/find_modes.h"
#include "tymbal/modes/whereabouts.h"

#include <doctest/doctest.h>

#include <cmath>
#include <string>

using namespace tymbal;

namespace {

/// An eccentric hole in a square: no two modes are equal.
ModeProblem holed(int count) {
    ModeProblem p{simple::rectangle(100e-6, 90e-6), simple::nitride(60e-9, 1e9), count};
    p.film.openings = {circle_figure({12e-6, 7e-6}, 24e-6)};
    p.film.narrowest = 20e-6;
    return p;
}

void same_modes(const ModeSet& near, const ModeSet& lowest) {
    for (std::size_t k = 0; k < near.modes.size(); ++k) {
        const Mode& here = near.modes[k];
        CAPTURE(here.number);
        CHECK(here.index == static_cast<int>(k) + 1);
        REQUIRE(here.number <= static_cast<int>(lowest.modes.size()));
        const auto n = static_cast<std::size_t>(here.number - 1);
        const Mode& there = lowest.modes[n];
        const double doubt = here.discretisation_error_hz + there.discretisation_error_hz;
        CHECK(std::abs(here.frequency_hz - there.frequency_hz) <= doubt);
        CHECK(here.integrals.mass == sample::Approx(there.integrals.mass).epsilon(2e-3));
        CHECK(near.sensitivities[k].stress == sample::Approx(lowest.sensitivities[n].stress).epsilon(1e-3));
    }
}

}  // namespace

TEST_SUITE("invariant") {
    TEST_CASE("modes near a frequency are those of the list from the lowest, by number") {
        const ModeSet lowest = find_modes(holed(14));
        ModeProblem p = holed(4);
        p.near_hz = 0.5 * (lowest.modes[7].frequency_hz + lowest.modes[8].frequency_hz);
        const ModeSet near = find_modes(p);
        REQUIRE(near.modes.size() == 4);
        CHECK(near.modes.front().number <= 8);
        CHECK(near.modes.back().number >= 9);
        for (const Mode& m : near.modes) CHECK(m.label == std::string("#").append(std::to_string(m.number)));
        same_modes(near, lowest);
    }
    TEST_CASE("modes near a frequency of a plain film keep their labels") {
        ModeProblem p{simple::rectangle(100e-6, 90e-6), simple::nitride(60e-9, 1e9), 14};
        const ModeSet lowest = find_modes(p);
        p.count = 3;
        p.near_hz = lowest.modes[6].frequency_hz;
        const ModeSet near = find_modes(p);
        REQUIRE(near.modes.size() == 3);
        same_modes(near, lowest);
        for (const Mode& m : near.modes) CHECK(m.label == lowest.modes[static_cast<std::size_t>(m.number - 1)].label);
    }
    TEST_CASE("a frequency beyond what a plain film is solved for is refused, with the last mode's") {
        ModeProblem p{simple::rectangle(100e-6, 90e-6), simple::nitride(60e-9, 1e9), 2};
        p.near_hz = 1e9;
        CHECK_THROWS_WITH_AS((void)find_modes(p), doctest::Contains("above the lowest 200 modes"), NoAnswer);
    }
}

TEST_SUITE("reference") {
    TEST_CASE("the share of a drum's motion within half its radius follows the Bessel function") {
        ModeProblem p{simple::disc(2.0), simple::film(1.0, 1e-9), 1};
        const ModeSet set = find_modes(p);
        // Int J0(a r)^2 r dr = r^2/2 (J0^2 + J1^2) (Abramowitz and Stegun, 11.4.2 and 11.3.34, from memory)
        const double zero = 2.404825557695773, half = 0.5 * zero;
        const double j0 = std::cyl_bessel_j(0, half), j1 = std::cyl_bessel_j(1, half), rim = std::cyl_bessel_j(1, zero);
        const double share = 0.25 * (j0 * j0 + j1 * j1) / (rim * rim);
        const Whereabouts where = whereabouts(set, 0, 0.5);
        REQUIRE(where.share_within.has_value());
        CHECK(*where.share_within == sample::Approx(share).epsilon(2e-2));
        CHECK(std::hypot(where.antinode.x, where.antinode.y) < 0.05);
        CHECK(*whereabouts(set, 0, 2.0).share_within == sample::Approx(1.0).epsilon(1e-12));
    }
}

#include "support/approx.h"
#include "tymbal/modes/find_modes.h"

#include "support/films.h"
#include "tymbal/base/error.h"

#include <doctest/doctest.h>

#include <cmath>
#include <numbers>

using namespace tymbal;
using std::numbers::pi;

namespace {

const std::vector<Point> pentagon{{0, 0}, {0.9, 0.2}, {1.1, 0.8}, {0.5, 1.2}, {-0.1, 0.7}};

Outline mapped(std::vector<Point> corners, double scale, double angle, bool mirror) {
    for (Point& p : corners) {
        const Point q = p;
        p = {scale * (std::cos(angle) * q.x - std::sin(angle) * q.y),
             scale * (std::sin(angle) * q.x + std::cos(angle) * q.y)};
        if (mirror) p.x = -p.x;
    }
    if (mirror) return Polygon{{corners.rbegin(), corners.rend()}};
    return Polygon{corners};
}

void same_spectrum(const ModeSet& a, const ModeSet& b, double factor, double tolerance) {
    REQUIRE(a.modes.size() == b.modes.size());
    for (std::size_t k = 0; k < a.modes.size(); ++k)
        CHECK(std::abs(a.modes[k].frequency_hz - factor * b.modes[k].frequency_hz) <=
              tolerance * a.modes[k].frequency_hz);
}

}  // namespace

TEST_SUITE("invariant") {
    TEST_CASE("twice the size halves the frequencies of a membrane" * doctest::test_suite("slow")) {
        const Outline small[] = {simple::rectangle(1, 0.7), simple::disc(1), simple::ring(1, 0.3),
                                 mapped(pentagon, 1, 0, false)};
        const Outline large[] = {simple::rectangle(2, 1.4), simple::disc(2), simple::ring(2, 0.6),
                                 mapped(pentagon, 2, 0, false)};
        for (std::size_t k = 0; k < 4; ++k)
            same_spectrum(find_modes({small[k], simple::film(1, 1e-16), 4, 1e-3}),
                          find_modes({large[k], simple::film(1, 4e-16), 4, 1e-3}), 2.0, 1e-7);
    }

    TEST_CASE("twice the size quarters the frequencies of a plate") {
        same_spectrum(find_modes({simple::disc(1), simple::film(0, 1), 3, 1e-3}),
                      find_modes({simple::disc(2), simple::film(0, 1), 3, 1e-3}), 4.0, 1e-7);
    }

    TEST_CASE("a polygon keeps its spectrum when it is turned, within the errors reported") {
        const ModeSet straight = find_modes({mapped(pentagon, 1, 0, false), simple::film(1, 1e-6), 5, 1e-3});
        for (const double angle : {0.4, 1.1, 2.9}) {
            const ModeSet turned = find_modes({mapped(pentagon, 1, angle, false), simple::film(1, 1e-6), 5, 1e-3});
            for (std::size_t k = 0; k < 5; ++k)
                CHECK(std::abs(straight.modes[k].frequency_hz - turned.modes[k].frequency_hz) <=
                      straight.modes[k].discretisation_error_hz + turned.modes[k].discretisation_error_hz);
        }
    }

    TEST_CASE("a mirrored polygon has the same spectrum to rounding") {
        same_spectrum(find_modes({mapped(pentagon, 1, 0, false), simple::film(1, 1e-6), 5, 1e-3}),
                      find_modes({mapped(pentagon, 1, 0, true), simple::film(1, 1e-6), 5, 1e-3}), 1.0, 1e-8);
    }

    TEST_CASE("a square as polygon is the square as rectangle" * doctest::test_suite("slow")) {
        const ModeSet polygon = find_modes({Polygon{{{0, 0}, {1, 0}, {1, 1}, {0, 1}}}, simple::film(1, 1e-6), 4, 1e-3});
        same_spectrum(find_modes({simple::rectangle(1, 1), simple::film(1, 1e-6), 4, 1e-3}), polygon, 1.0, 1e-5);
    }

    TEST_CASE("frequencies rise, partners are mutual and equal within their errors") {
        const Outline outlines[] = {simple::rectangle(1, 1), simple::disc(1), simple::ring(1, 0.4)};
        for (const Outline& outline : outlines) {
            const ModeSet set = find_modes({outline, simple::film(1, 1e-7), 8, 1e-3});
            int paired = 0;
            for (std::size_t k = 0; k < set.modes.size(); ++k) {
                const Mode& mode = set.modes[k];
                CHECK(mode.index == static_cast<int>(k) + 1);
                if (k > 0) CHECK(mode.frequency_hz >= set.modes[k - 1].frequency_hz);
                if (mode.partner == 0) continue;
                ++paired;
                CHECK(set.modes[static_cast<std::size_t>(mode.partner - 1)].partner == mode.index);
            }
            CHECK(paired >= 4);
            CHECK(set.modes[1].partner == 3);  // (1,2) and (2,1), or the two directions of one nodal diameter
        }
    }

    TEST_CASE("the shape raster is one at its largest and zero on the rim") {
        const ModeSet set = find_modes({simple::disc(1), simple::film(1, 1e-7), 4, 1e-3});
        for (const Mode& mode : set.modes) {
            double most = 0.0;
            for (const double w : mode.shape.w) most = std::max(most, std::abs(w));
            CHECK(most == sample::Approx(1.0).epsilon(0.01));  // the peak may lie between nodes
            CHECK(mode.shape.w.front() == 0.0);
        }
    }
}

TEST_SUITE("unit") {
    TEST_CASE("a plate so close to buckling that its grids buckle first has no answer") {
        // 0.2 % below Timoshenko's load; grids for an accuracy of a hundredth buckle 1 % earlier.
        const PaintedFilm film = simple::film(-0.998 * 5.30 * pi * pi, 1);
        CHECK_THROWS_WITH_AS((void)find_modes({simple::rectangle(1, 1), film, 1, 1e-2}),
                             doctest::Contains("too close to buckling"), NoAnswer);
    }
}

TEST_SUITE("reference") {
    TEST_CASE("a square plate buckles at Timoshenko's load: below it sings, above it has no answer") {
        // Equal-biaxial clamped square: N = 5.30 pi^2 D/L^2 (Timoshenko and Gere, Theory of Elastic Stability, 2nd ed.,
        // section 9.7, from memory).
        const double critical = 5.30 * pi * pi;
        const ModeSet free = find_modes({simple::rectangle(1, 1), simple::film(0, 1), 1, 1e-3});
        const ModeSet loaded = find_modes({simple::rectangle(1, 1), simple::film(-0.9 * critical, 1), 1, 1e-3});
        // omega^2 falls nearly in proportion to the load, exactly if the shape stayed the same.
        CHECK(std::pow(loaded.modes[0].frequency_hz / free.modes[0].frequency_hz, 2) ==
              sample::Approx(0.1).epsilon(0.05));
        CHECK_NOTHROW((void)find_modes({simple::rectangle(1, 1), simple::film(-0.98 * critical, 1), 1, 1e-3}));
        CHECK_THROWS_AS((void)find_modes({simple::rectangle(1, 1), simple::film(-1.02 * critical, 1), 1, 1e-3}),
                        NoAnswer);
    }

    TEST_CASE("a disc plate buckles at 14.68 D/R^2") {
        // Clamped disc: N = j11^2 D/R^2 = 14.682 (Timoshenko and Gere, section 9.11, from memory; j11 = 3.83171).
        const double critical = 3.8317059702 * 3.8317059702;
        CHECK_NOTHROW((void)find_modes({simple::disc(2), simple::film(-0.98 * critical, 1), 1, 1e-3}));
        CHECK_THROWS_AS((void)find_modes({simple::disc(2), simple::film(-1.02 * critical, 1), 1, 1e-3}), NoAnswer);
    }
}

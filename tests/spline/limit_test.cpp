// What a series of grids says of its limit, on series whose limit is known.
#include "spline/limit.h"

#include "spline/region.h"

#include "tymbal/geometry/boundary.h"
#include "tymbal/geometry/front.h"

#include "support/approx.h"

#include <doctest/doctest.h>

#include <cmath>

using namespace tymbal;
using namespace tymbal::spline;

namespace {

constexpr double truth = 3.0;

/// Grids a factor of 1.5 apart. @param scatter  added with changing sign, falling with the spacing
Series falling(int grids, double power, double scatter = 0.0) {
    Series s;
    for (int g = 0; g < grids; ++g) {
        const double h = std::pow(1.5, -g);
        s.spacing.push_back(h);
        s.value.push_back(truth + 0.1 * std::pow(h, power) + (g % 2 == 0 ? scatter : -scatter) * h);
    }
    return s;
}

double miss(const Bounded& b) {
    return std::abs(b.value - truth);
}

Region region(const Boundary& rim, const std::vector<Figure>& openings, HeldSides held = HeldSides::all) {
    return film_region(rim, openings, 1e-6, held);
}

}  // namespace

TEST_SUITE("unit") {
    TEST_CASE("smooth series are covered, and not by much more than what they miss") {
        for (const double power : {2.0, 3.0, 4.0}) {
            CAPTURE(power);
            const Bounded b = smooth_limit(falling(3, power), 4.0);
            CHECK(b.value == falling(3, power).value.back());
            CHECK(miss(b) < b.error);
            CHECK(b.error < 10.0 * miss(b));
        }
    }

    TEST_CASE(
        "a last change that is small by luck is not taken for the end: the error keeps the size of what is missed") {
        // One series cannot tell luck; film_modes holds the modes of a film against each other as well.
        Series s = falling(3, 2.0);
        s.value[2] = s.value[1];
        CHECK(smooth_limit(s, 2.25).error > 0.4 * miss(smooth_limit(s, 2.25)));
        s = falling(4, 1.3);
        s.value[3] = s.value[2] - 1e-6;
        CHECK(cornered_limit(s).error > 0.4 * miss(cornered_limit(s)));
    }

    TEST_CASE("series of cornered films are covered for every power between 1.0 and 1.6, and with scatter") {
        for (const int grids : {3, 4, 6})
            for (const double power : {1.0, 1.1, 1.3, 1.5, 1.6})
                for (const double scatter : {0.0, 2e-3}) {
                    CAPTURE(grids);
                    CAPTURE(power);
                    CAPTURE(scatter);
                    const Series s = falling(grids, power, scatter);
                    const Bounded last = cornered_limit(s), far = cornered_limit_of_energy(s);
                    CHECK(miss(last) < last.error);
                    CHECK(miss(far) < far.error);
                    CHECK(far.error <= last.error);
                }
        CHECK(miss(cornered_limit_of_energy(falling(5, 1.3))) < 1e-9);
        CHECK(miss(cornered_limit(falling(5, 1.3))) > 1e-3);
    }

    TEST_CASE("corners that turn into the film and ends of the held rim are sharp; arcs and plain corners are not") {
        const Boundary square = rectangle_figure({0.0, 0.0}, {100e-6, 100e-6}, 0.0, 0.0),
                       disc = circle_figure({0.0, 0.0}, 100e-6);
        CHECK_FALSE(has_sharp_corners(region(square, {})));
        CHECK_FALSE(has_sharp_corners(region(square, {circle_figure({0.0, 0.0}, 5e-6)})));
        CHECK_FALSE(has_sharp_corners(region(disc, {circle_figure({0.0, 0.0}, 50e-6)})));
        CHECK(has_sharp_corners(region(disc, {rectangle_figure({0.0, 0.0}, {20e-6, 20e-6}, 0.0, 0.0)})));
        CHECK_FALSE(has_sharp_corners(region(disc, {rectangle_figure({0.0, 0.0}, {40e-6, 40e-6}, 10e-6, 0.0)})));
        CHECK(has_sharp_corners(region(square, {}, HeldSides::left_and_right)));
        CHECK(has_sharp_corners(region(disc, {circle_figure({50e-6, 0.0}, 30e-6)})));
        CHECK(has_cut_rim(region(square, {}, HeldSides::left_and_right)));
        CHECK(has_cut_rim(region(disc, {circle_figure({50e-6, 0.0}, 30e-6)})));
        CHECK_FALSE(has_cut_rim(region(disc, {rectangle_figure({0.0, 0.0}, {20e-6, 20e-6}, 0.0, 0.0)})));
        PlacedHoles holes;
        holes.shape = HoleShape::circle;
        holes.size = 4e-6;
        holes.centres = {{-5e-6, 0.0}, {5e-6, 0.0}};
        CHECK(has_sharp_corners(region(front(holes, 5.8e-6), figures(holes))));
    }
}

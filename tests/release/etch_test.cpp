#include "tymbal/release/film_loss.h"

#include "tymbal/base/error.h"
#include "tymbal/geometry/boundary.h"
#include "tymbal/release/release.h"

#include "support/approx.h"

#include <doctest/doctest.h>

#include <cmath>
#include <limits>

using namespace tymbal;

namespace {

constexpr double nm_per_min = 1e-9 / 60.0;
constexpr double never = std::numeric_limits<double>::infinity();

Sourced<Speed> rate(double value, double deviation = 0.0) {
    return {Speed::from_si(value * nm_per_min), Speed::from_si(deviation * nm_per_min), {"test", Origin::design}};
}

}  // namespace

TEST_SUITE("unit") {
    TEST_CASE("a rim is missed by its distance to the nearest of all holes, wherever those lie") {
        for (const HoleShape shape : {HoleShape::circle, HoleShape::square, HoleShape::hexagon})
            for (const Point off : {Point{0.0, 0.0}, Point{70e-6, -25e-6}, Point{900e-6, 0.0}}) {
                PlacedHoles holes{shape, 2e-6, 0.3, {}};
                for (int i = 0; i < 20; ++i)
                    for (int j = 0; j < 15; ++j) holes.centres.push_back({off.x + 5e-6 * i, off.y + 5e-6 * j});
                const Boundary rim = boundary(Outline(Rectangle{{Length::from_si(120e-6), {}, {"test", Origin::design}},
                                                                {Length::from_si(90e-6), {}, {"test", Origin::design}},
                                                                {}}));
                double farthest = -1.0;  // every hole from every corner and from points along the sides
                for (const Edge& e : rim)
                    for (int k = 0; k <= 600; ++k) {
                        const Point p{e.a.x + (e.b.x - e.a.x) * k / 600.0, e.a.y + (e.b.y - e.a.y) * k / 600.0};
                        double nearest = 1.0;
                        for (const Point& c : holes.centres) nearest = std::min(nearest, distance_to_hole(holes, c, p));
                        farthest = std::max(farthest, nearest);
                    }
                CHECK(beyond_front(rim, holes, 0.5e-6) == sample::Approx(farthest - 0.5e-6).epsilon(1e-3));
            }
    }

    TEST_CASE("time and undercut are each other's inverse, slowed down or not") {
        for (const double slow : {never, 5e-6}) {
            const EtchPair pair{rate(100.0), rate(5.0), slow};
            for (const double u : {0.1e-6, 2e-6, 20e-6})
                if (u < 10e-6 || slow == never)
                    CHECK(undercut_after(pair, time_for(pair, u)) == sample::Approx(u).epsilon(1e-12));
        }
    }

    TEST_CASE("without film loss the front is rate times time") {
        // 6.07 um at 2300 nm/min: 2.64 min, closed form.
        const EtchPair pair{rate(2300.0), std::nullopt, never};
        CHECK(time_for(pair, 6.07e-6) / 60.0 == sample::Approx(2.639).epsilon(1e-3));
    }

    TEST_CASE("a slowed front takes twice its first pace at half the slow-down length") {
        const EtchPair pair{rate(100.0), std::nullopt, 4e-6};
        // t = (x + x^2/A)/R, dt/dx = (1 + 2 x/A)/R: at x = A/2 twice the value at the start.
        const double h = 1e-9;
        const double first = time_for(pair, h) / h;
        const double there = (time_for(pair, 2e-6 + h) - time_for(pair, 2e-6 - h)) / (2.0 * h);
        CHECK(there / first == sample::Approx(2.0).epsilon(1e-3));
    }

    TEST_CASE("a film that is eaten faster than the oxide is refused") {
        CHECK_THROWS_AS((void)time_for({rate(10.0), rate(10.0), never}, 1e-6), NoAnswer);
    }
}

TEST_SUITE("reference") {
    TEST_CASE("one hole: mean loss from below follows from the ring's area") {
        // Ring from r to r + u, exposure (r + u - s)/(R - F) at radius s: mean (u/3)(3 r + u)/(2 r + u)/(R - F)
        // [derived].
        const double r = 1e-6, u = 2e-6;
        const PlacedHoles hole{HoleShape::circle, 2.0 * r, 0.0, {{0, 0}}};
        const EtchPair pair{rate(100.0, 10.0), rate(1.0, 0.5), never};
        const FilmLoss loss = film_loss(hole, pair, u, false);
        const double speed = 99.0 * nm_per_min;
        const double mean = u / 3.0 * (3.0 * r + u) / (2.0 * r + u) / speed * 1.0 * nm_per_min;
        CHECK(loss.below_mean == sample::Approx(mean).epsilon(1e-9));  // the area is a parabola: Simpson is exact
        CHECK(loss.above == sample::Approx(u / 99.0).epsilon(1e-9));
        CHECK(loss.relative_spread == sample::Approx(std::hypot(0.5, 0.1)));
        CHECK(film_loss(hole, pair, u, true).relative_spread == sample::Approx(0.5));
    }

    TEST_CASE("merged fronts: the mean agrees with counting on a fine raster") {
        const PlacedHoles holes{HoleShape::circle, 2.0, 0.0, {{0, 0}, {5, 0}, {0, 5}, {5, 5}}};
        const EtchPair pair{rate(100.0), rate(1.0), never};
        const double u = 3.0, speed = 99.0 * nm_per_min;
        double sum = 0.0;
        long inside = 0;
        for (double y = -4.0; y < 9.0; y += 0.02) {
            for (double x = -4.0; x < 9.0; x += 0.02) {
                double d = 1e9;
                for (const Point& c : holes.centres) d = std::min(d, std::hypot(x - c.x, y - c.y) - 1.0);
                if (d < 0.0 || d > u) continue;
                ++inside;
                sum += (u - d) / speed;
            }
        }
        const FilmLoss loss = film_loss(holes, pair, u, false);
        CHECK(loss.below_mean == sample::Approx(sum / static_cast<double>(inside) * nm_per_min).epsilon(2e-3));
    }
}

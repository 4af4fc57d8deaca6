#include "tymbal/geometry/between.h"
#include "support/approx.h"

#include "support/films.h"

#include "tymbal/geometry/boundary.h"

#include <doctest/doctest.h>

#include <cmath>
#include <numbers>
#include <random>

using namespace tymbal;

namespace {

Sourced<Length> um(double value) {
    return simple::length(1e-6 * value);
}

Boundary rectangle(double width_um, double height_um, double corner_um = 0.0) {
    return boundary(Rectangle{um(width_um), um(height_um), Length::from_si(1e-6 * corner_um)});
}

Boundary disc(double diameter_um) {
    return boundary(Disc{um(diameter_um)});
}

double apart_um(const Boundary& a, const Boundary& b, double x_um, double y_um) {
    return 1e6 * distance_between({a, {1e-6, -2e-6}}, {b, {1e-6 + 1e-6 * x_um, -2e-6 + 1e-6 * y_um}}, INFINITY);
}

Point at(const Edge& e, double share) {
    if (e.radius == 0.0) return {e.a.x + share * (e.b.x - e.a.x), e.a.y + share * (e.b.y - e.a.y)};
    const double from = std::atan2(e.a.y - e.centre.y, e.a.x - e.centre.x);
    const double turn =
        std::remainder(std::atan2(e.b.y - e.centre.y, e.b.x - e.centre.x) - from, 2.0 * std::numbers::pi);
    return {e.centre.x + e.radius * std::cos(from + share * turn),
            e.centre.y + e.radius * std::sin(from + share * turn)};
}

std::vector<Point> points_on(const Boundary& rim, int each) {
    std::vector<Point> all;
    for (const Edge& e : rim)
        for (int k = 0; k <= each; ++k) all.push_back(at(e, static_cast<double>(k) / each));
    return all;
}

}  // namespace

TEST_SUITE("unit") {
    TEST_CASE("films that cross without a corner in each other meet") {
        CHECK(apart_um(rectangle(1000, 10), rectangle(10, 1000), 60, 60) == 0.0);
        CHECK(apart_um(rectangle(1000, 10), disc(100), 60, 20) == 0.0);
    }

    TEST_CASE("discs are as far apart as their centres less their radii, in every direction") {
        for (const double degrees : {0.0, 5.6, 17.0, 45.0, 133.0, 271.0}) {
            CAPTURE(degrees);
            const double angle = degrees * std::numbers::pi / 180.0;
            const auto at_distance = [&](double d) {
                return apart_um(disc(1000), disc(800), d * std::cos(angle), d * std::sin(angle));
            };
            CHECK(at_distance(899.0) == 0.0);
            CHECK(at_distance(903.0) == sample::Approx(3.0).epsilon(1e-9));
        }
    }

    TEST_CASE("a film within another's meets it, one within its hole does not") {
        const Boundary ring = boundary(Ring{um(300), um(200)});
        CHECK(apart_um(rectangle(300, 300), disc(100), 20, 0) < 0.0);
        CHECK(apart_um(disc(100), rectangle(300, 300), 20, 0) < 0.0);
        CHECK(apart_um(ring, disc(100), 20, 0) == sample::Approx(30.0));
        CHECK(apart_um(ring, disc(100), 60, 0) == 0.0);
    }

    TEST_CASE("what is far need not be known, and is not below what was asked for") {
        const Boundary one = disc(100);
        CHECK(distance_between({one, {}}, {one, {1e-3, 0.0}}, 50e-6) > 50e-6);
    }
}

TEST_SUITE("invariant") {
    TEST_CASE("no points of two rims are nearer than the rims, and some are nearly as near") {
        std::mt19937 dice(7);
        std::uniform_real_distribution<double> place(-260.0, 260.0);
        const Boundary shapes[] = {rectangle(200, 100), rectangle(200, 100, 40), disc(150),
                                   boundary(Ring{um(220), um(90)}),
                                   boundary(Polygon{{{0.0, 0.0}, {2e-4, 0.0}, {5e-5, 9e-5}}})};
        int far = 0;
        for (const Boundary& a : shapes)
            for (const Boundary& b : shapes)
                for (int k = 0; k < 4; ++k) {
                    const Point by{1e-6 * place(dice), 1e-6 * place(dice)};
                    double least = INFINITY;
                    for (const Point& p : points_on(a, 60))
                        for (const Point& q : points_on(b, 60))
                            least = std::min(least, std::hypot(p.x - q.x - by.x, p.y - q.y - by.y));
                    const double found = std::abs(distance_between({a, {}}, {b, by}, INFINITY));
                    CHECK(found <= least * (1.0 + 1e-12));
                    CHECK(found >= least - 4e-6);  // of points 3.3 um apart on lines, less on arcs
                    far += found > 4e-6 ? 1 : 0;
                }
        CHECK(far > 30);
    }
}

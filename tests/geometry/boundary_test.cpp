#include "tymbal/geometry/boundary.h"
#include "support/approx.h"

#include "tymbal/base/error.h"

#include "support/films.h"

#include <doctest/doctest.h>

#include <cmath>
#include <numbers>

using namespace tymbal;
using std::numbers::pi;

namespace {

const Outline l_shape = Polygon{{{0, 0}, {2, 0}, {2, 1}, {1, 1}, {1, 2}, {0, 2}}};

Outline rounded(double width, double height, double radius) {
    return Rectangle{simple::length(width), simple::length(height), Length::from_si(radius)};
}

}  // namespace

TEST_SUITE("unit") {
    TEST_CASE("areas and perimeters are those of the school formulas") {
        CHECK(area(boundary(simple::rectangle(3, 2))) == sample::Approx(6.0).epsilon(1e-14));
        CHECK(perimeter(boundary(simple::rectangle(3, 2))) == sample::Approx(10.0).epsilon(1e-14));
        CHECK(area(boundary(simple::disc(2))) == sample::Approx(pi).epsilon(1e-14));
        CHECK(perimeter(boundary(simple::disc(2))) == sample::Approx(2 * pi).epsilon(1e-14));
        CHECK(area(boundary(simple::ring(2, 1))) == sample::Approx(0.75 * pi).epsilon(1e-14));
        CHECK(perimeter(boundary(simple::ring(2, 1))) == sample::Approx(3.0 * pi).epsilon(1e-14));
        CHECK(area(boundary(l_shape)) == sample::Approx(3.0));
        CHECK(perimeter(boundary(l_shape)) == sample::Approx(8.0));
        // Rounding takes (4 - pi) r^2 of the area and (8 - 2 pi) r of the rim.
        CHECK(area(boundary(rounded(3, 2, 0.5))) == sample::Approx(6.0 - (4.0 - pi) * 0.25).epsilon(1e-14));
        CHECK(perimeter(boundary(rounded(3, 2, 0.5))) == sample::Approx(10.0 - (8.0 - 2.0 * pi) * 0.5).epsilon(1e-14));
    }

    TEST_CASE("an inset moves every rim into the film by its width") {
        CHECK(area(boundary(simple::rectangle(3, 2), 0.1)) == sample::Approx(2.8 * 1.8));
        CHECK(area(boundary(simple::disc(2), 0.1)) == sample::Approx(pi * 0.81));
        CHECK(area(boundary(simple::ring(2, 1), 0.1)) == sample::Approx(pi * (0.81 - 0.36)));
        // At the re-entrant corner the mitre goes into the film as well: 1.8 x 0.8 and a foot of 0.8 x 1 above it.
        CHECK(area(boundary(l_shape, 0.1)) == sample::Approx(1.8 * 0.8 + 0.8 * 1.0));
        for (const Edge& e : boundary(l_shape, 0.1)) CHECK(signed_distance(boundary(l_shape), e.a) >= 0.1 - 1e-12);
    }

    TEST_CASE("an inset that leaves no film has no answer") {
        CHECK_THROWS_AS((void)boundary(simple::rectangle(3, 2), 1.0), NoAnswer);
        CHECK_THROWS_AS((void)boundary(simple::disc(2), 1.1), NoAnswer);
        CHECK_THROWS_AS((void)boundary(simple::ring(2, 1), 0.25), NoAnswer);
        CHECK_THROWS_AS((void)boundary(l_shape, 0.6), NoAnswer);
    }

    TEST_CASE("grid lines meet circles where Pythagoras says, with radial normals out of the film") {
        const auto found = cross_horizontal(boundary(simple::ring(2, 1)), 0.3);
        REQUIRE(found.size() == 4);
        CHECK(found[0].at == sample::Approx(-std::sqrt(1 - 0.09)));
        CHECK(found[1].at == sample::Approx(-std::sqrt(0.25 - 0.09)));
        CHECK(found[3].at == sample::Approx(std::sqrt(1 - 0.09)));
        CHECK(found[3].normal.x == sample::Approx(std::sqrt(1 - 0.09)));
        CHECK(found[3].normal.y == sample::Approx(0.3));
        CHECK(found[2].loop == 1);
        CHECK(found[2].normal.x == sample::Approx(-0.8));  // out of the film is into the hole
        CHECK(found[2].normal.y == sample::Approx(-0.6));
        CHECK(found[2].curvature == sample::Approx(-2.0));
        CHECK(found[3].curvature == sample::Approx(1.0));
    }

    TEST_CASE("vertical crossings are the horizontal ones of the mirrored outline") {
        const Outline slanted = Polygon{{{0, 0}, {3, 1}, {2, 2}}};
        const Outline mirrored = Polygon{{{0, 0}, {2, 2}, {1, 3}}};
        const auto a = cross_vertical(boundary(slanted), 1.7), b = cross_horizontal(boundary(mirrored), 1.7);
        REQUIRE(a.size() == b.size());
        for (std::size_t k = 0; k < a.size(); ++k) {
            CHECK(a[k].at == sample::Approx(b[k].at));
            CHECK(a[k].normal.x == sample::Approx(b[k].normal.y));
            CHECK(a[k].normal.y == sample::Approx(b[k].normal.x));
        }
    }

    TEST_CASE("distances are positive inside and known in closed form") {
        const Boundary ring = boundary(simple::ring(2, 1));
        for (const double angle : {0.0, 0.4, 1.2, 2.0, 3.0, 4.4, 6.1})
            for (const double r : {0.2, 0.6, 0.7, 0.9, 1.3})
                CHECK(signed_distance(ring, {r * std::cos(angle), r * std::sin(angle)}) ==
                      sample::Approx(std::min(1.0 - r, r - 0.5)));
        CHECK(signed_distance(boundary(l_shape), {1.5, 1.5}) == sample::Approx(-0.5));
        CHECK(signed_distance(boundary(l_shape), {0.9, 0.9}) == sample::Approx(std::sqrt(0.02)));
    }
}

TEST_SUITE("invariant") {
    TEST_CASE("every line crosses every outline an even number of times, also through its axes and extremes") {
        for (const double size : {1.522e-3, 2.16e-4, 4.624e-5, 0.1, 1.0 / 3.0}) {
            const Outline outlines[] = {simple::disc(size), simple::ring(size, 0.3 * size),
                                        rounded(size, 0.7 * size, 0.1 * size)};
            for (const Outline& outline : outlines) {
                const Boundary rim = boundary(outline);
                for (int k = -40; k <= 40; ++k) {
                    // Levels as grids make them: from the box's edge, and the axis a few bits off.
                    for (const double off : {0.0, 1e-19, -1e-19, 1e-17 * size, -1e-17 * size}) {
                        const double level = -0.5 * size + (k + 40) * (size / 80.0) + off;
                        CHECK(cross_horizontal(rim, level).size() % 2 == 0);
                        CHECK(cross_vertical(rim, level).size() % 2 == 0);
                    }
                }
            }
        }
    }

    TEST_CASE("the area by crossings is the area by corners and arcs") {
        const Outline outlines[] = {simple::disc(2), simple::ring(2, 0.7), rounded(2, 1.5, 0.3), l_shape};
        for (const Outline& outline : outlines) {
            const Boundary rim = boundary(outline);
            const Box box = bounding_box(rim);
            double sum = 0.0;
            constexpr int lines = 4000;
            const double dy = (box.high.y - box.low.y) / lines;
            for (int k = 0; k < lines; ++k) {
                const auto at = cross_horizontal(rim, box.low.y + (k + 0.5) * dy);
                for (std::size_t c = 0; c + 1 < at.size(); c += 2) sum += (at[c + 1].at - at[c].at) * dy;
            }
            CHECK(sum == sample::Approx(area(rim)).epsilon(1e-5));  // midpoint rule with vertical tangents: h^1.5
        }
    }
}

// Lines of equal value against shapes with known areas, lengths and counts.
#include "page/contours.h"
#include "page/svg_shapes.h"
#include "support/approx.h"

#include "tymbal/base/constants.h"
#include "tymbal/geometry/lattice.h"

#include <doctest/doctest.h>

#include <algorithm>
#include <cmath>
#include <functional>
#include <limits>

using namespace tymbal;
using tymbal::sample::Approx;

namespace {

constexpr double pi = constants::pi;

/// f on the square -1..1, n points a side.
Raster sampled(int n, const std::function<double(double, double)>& f) {
    Raster r{n, n, -1.0, -1.0, 2.0 / (n - 1), 2.0 / (n - 1), {}};
    for (int j = 0; j < n; ++j)
        for (int i = 0; i < n; ++i) r.values.push_back(f(r.x0 + i * r.dx, r.y0 + j * r.dy));
    return r;
}

double enclosed(const std::vector<Polyline>& lines) {
    double sum = 0.0;
    for (const Polyline& l : lines) sum += polygon_area(l);
    return sum;
}

}  // namespace

TEST_SUITE("unit") {
    TEST_CASE("the region above a level is a disc of the right area, and the raster's border closes what it cuts") {
        const Raster hill = sampled(81, [](double x, double y) { return 1.0 - x * x - y * y; });
        const auto disc = regions_above(hill, 0.75);
        REQUIRE(disc.size() == 1);
        CHECK(disc[0].front().x == disc[0].back().x);
        CHECK(enclosed(disc) == Approx(pi * 0.25).epsilon(3e-3));
        CHECK(enclosed(regions_above(hill, -5.0)) == Approx(4.0));
        CHECK(regions_above(hill, 1.5).empty());
        const Raster ramp = sampled(21, [](double x, double) { return x; });
        CHECK(enclosed(regions_above(ramp, 0.3)) == Approx(2.0 * 0.7));
        // A ring: outer loop minus inner loop.
        const Raster ring = sampled(161, [](double x, double y) { return -std::abs(std::hypot(x, y) - 0.6); });
        const auto loops = regions_above(ring, -0.2);
        CHECK(loops.size() == 2);
        CHECK(enclosed(loops) == Approx(pi * (0.64 - 0.16)).epsilon(5e-3));
    }

    TEST_CASE("nodal lines are as many and as long as the shape has them") {
        const Raster lines = sampled(60, [](double x, double) { return std::sin(2.5 * pi * x); });
        const auto straight = zero_lines(lines);
        CHECK(straight.size() == 5);  // sin(2.5 pi x) is zero at -0.8, -0.4, 0, 0.4, 0.8
        for (const Polyline& l : straight) CHECK(length(l) == Approx(2.0).epsilon(1e-9));
        const Raster circle = sampled(61, [](double x, double y) { return std::hypot(x, y) - 0.5; });
        const auto round = zero_lines(circle);
        REQUIRE(round.size() == 1);
        CHECK(length(round[0]) == Approx(pi).epsilon(2e-3));
    }

    TEST_CASE("unknown points end lines and are filled from their neighbours, ring by ring") {
        Raster half = sampled(
            21, [](double x, double y) { return x > 0.05 ? std::numeric_limits<double>::quiet_NaN() : y + 0.01; });
        double sum = 0.0;
        for (const Polyline& l : zero_lines(half)) sum += length(l);
        CHECK(sum == Approx(1.0).epsilon(1e-9));
        half = filled_outwards(half, 1);
        CHECK(half.at(11, 20) == Approx(0.96));  // mean of the two neighbours known there, 1.01 and 0.91
        CHECK(std::isnan(half.at(12, 20)));
        CHECK_FALSE(std::isnan(filled_outwards(half, 100).at(20, 20)));
        CHECK(thinned(half, 7).columns == 7);
        CHECK(widened(sampled(5, [](double x, double) { return x; })).at(0, 3) == -1.0);
    }

    TEST_CASE("the largest near by hides a fine pattern and keeps what is coarse; unknown points do not count") {
        const double nan = std::numeric_limits<double>::quiet_NaN();
        // Period four, between zero and one, on a slope of one over the raster.
        const Raster fine = sampled(41, [&](double x, double y) {
            const int i = static_cast<int>(std::lround(20.0 * (x + 1.0))),
                      j = static_cast<int>(std::lround(20.0 * (y + 1.0)));
            return i % 4 == 1 && j % 4 == 1 ? nan : (i % 4 == 3 ? 1.0 : 0.0) + 0.5 * x;
        });
        const Raster smooth = largest_near_by(fine, 2, 2);
        for (int i = 2; i + 3 < 41; ++i) {
            CHECK(smooth.at(i, 20) >= 1.0 + 0.5 * (fine.x0 + (i - 2) * fine.dx) - 1e-12);
            CHECK(smooth.at(i, 20) <= 1.0 + 0.5 * (fine.x0 + (i + 2) * fine.dx) + 1e-12);
        }
    }

    TEST_CASE("a simplified line keeps its ends, stays within the tolerance and drops what lies on a straight line") {
        Polyline circle, corner;
        for (int k = 0; k <= 400; ++k) circle.push_back({std::cos(pi * k / 200.0), std::sin(pi * k / 200.0)});
        for (int k = 0; k <= 20; ++k) corner.push_back({std::min(k, 10) * 0.1, std::max(0, k - 10) * 0.1});
        CHECK(simplified(corner, 1e-9).size() == 3);
        CHECK(simplified({{0.0, 0.0}, {1.0, 0.0}}, 1.0).size() == 2);
        const Polyline few = simplified(circle, 0.01);
        // A chord of a circle of one stands off by 1 - cos(half its angle): 0.01 allows chords of 0.283, 23 of them.
        CHECK(few.size() >= 23);
        CHECK(few.size() <= 27);
        CHECK(few.front().x == circle.front().x);
        CHECK(few.back().y == circle.back().y);
        for (std::size_t k = 0; k + 1 < few.size(); ++k)
            CHECK(std::hypot(0.5 * (few[k].x + few[k + 1].x), 0.5 * (few[k].y + few[k + 1].y)) >= 0.99 - 1e-9);
    }

    TEST_CASE("a scale bar is a round length that fits") {
        CHECK(scale_bar_length(100e-6, 0.3) == Approx(20e-6));
        CHECK(scale_bar_length(1e-3, 0.5) == Approx(500e-6));
        CHECK(scale_bar_length(37e-6, 0.3) == Approx(10e-6));
    }

    TEST_CASE("rims become paths: straight edges as lines, arcs with their radius, y turned down") {
        const Frame frame{{{0.0, 0.0}, {10e-6, 10e-6}}, 1e6};
        const Boundary square{{{0, 0}, {1e-5, 0}, {}, 0.0, true, 0}, {{1e-5, 0}, {0, 1e-5}, {}, 0.0, true, 0}};
        CHECK(path_of(square, frame) == "M0 10L10 10L0 0Z");
        const Boundary quarter{{{1e-5, 0}, {0, 1e-5}, {0, 0}, 1e-5, true, 0}};
        CHECK(path_of(quarter, frame) == "M10 10A10 10 0 0 0 0 0Z");
    }
}

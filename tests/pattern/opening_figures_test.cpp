// Openings moved back by what the process adds, against areas done by hand.
#include "tymbal/pattern/opening_figures.h"
#include "tymbal/base/error.h"
#include "tymbal/pattern/widths.h"

#include <doctest/doctest.h>

#include <cmath>
#include <vector>

using namespace tymbal;

namespace {

constexpr double um = 1e-6, um2 = 1e-12;
constexpr double pi = 3.14159265358979;

double drawn_um2(const std::vector<Figure>& openings, double growth_um, int grid = 50) {
    double sum = 0.0;
    for (const DrawnRegion& r : draw_openings({openings, growth_um * um, grid})) sum += area_m2(r) / um2;
    return sum;
}

Figure box(double x, double y, double w, double h) {
    return rectangle_figure({x * um, y * um}, {w * um, h * um}, 0.0, 0.0);
}

DrawnRegion drawn_box(int left, int low, int right, int high) {
    return {{{left, low}, {right, low}, {right, high}, {left, high}}, {}};
}

}  // namespace

TEST_SUITE("unit") {
    TEST_CASE("a rectangle is drawn smaller by the growth on every side, or larger where openings shrink") {
        CHECK(std::abs(drawn_um2({box(0, 0, 10, 6)}, 0.5) - 9.0 * 5.0) < 1e-9);
        // Grown by 0.5 um round every corner: 10 x 6, four sides, and a circle.
        CHECK(std::abs(drawn_um2({box(0, 0, 10, 6)}, -0.5, 1) - (60.0 + 16.0 + 0.25 * pi)) < 0.01);
    }

    TEST_CASE("a circle keeps its area as a polygon, and is drawn smaller by twice the growth across") {
        CHECK(std::abs(drawn_um2({circle_figure({}, 20 * um)}, 0.0, 1) / (100.0 * pi) - 1.0) < 1e-4);
        CHECK(std::abs(drawn_um2({circle_figure({}, 20 * um)}, 0.2, 1) / (9.8 * 9.8 * pi) - 1.0) < 1e-4);
    }

    TEST_CASE("an inner corner is rounded by the growth, an outer one stays sharp") {
        // An L of 10 x 10 um less 5 x 5 um, moved in by 1: 75 - 40 + five outer corners - a quarter of a circle.
        const Figure l = polygon_figure(
            {{0, 0}, {10 * um, 0}, {10 * um, 5 * um}, {5 * um, 5 * um}, {5 * um, 10 * um}, {0, 10 * um}});
        CHECK(std::abs(drawn_um2({l}, 1.0, 1) - (75.0 - 40.0 + 5.0 - 0.25 * pi)) < 0.01);
    }

    TEST_CASE("openings that overlap are one figure, moved back once") {
        const std::vector<Figure> both{box(-3, 0, 10, 4), box(3, 0, 10, 4)};
        CHECK(draw_openings({both, 0.5 * um, 50}).size() == 1);
        CHECK(std::abs(drawn_um2(both, 0.5) - 15.0 * 3.0) < 1e-9);
        CHECK(std::abs(united_area_m2(both) / um2 - 64.0) < 1e-6);
    }

    TEST_CASE("an opening narrower than what the process adds cannot be drawn, nor one with such a neck") {
        CHECK_THROWS_WITH_AS((void)drawn_um2({box(0, 0, 10, 0.8)}, 0.5),
                             doctest::Contains("narrower than what the process adds"), NoAnswer);
        CHECK_THROWS_AS((void)drawn_um2({box(-5, 0, 6, 6), box(5, 0, 6, 6), box(0, 0, 6, 0.8)}, 0.5), NoAnswer);
    }

    TEST_CASE("a region with an island, or too many corners, is parted without gap or overlap") {
        const std::vector<Figure> ring{box(0, 9, 20, 2), box(0, -9, 20, 2), box(9, 0, 2, 20), box(-9, 0, 2, 20),
                                       circle_figure({30 * um, 0}, 15 * um)};
        const auto regions = draw_openings({ring, 0.0, 1});
        REQUIRE(regions.size() == 2);
        for (const DrawnRegion& r : regions) {
            double sum = 0.0;
            for (const DrawnFigure& f : pieces(r, Layer::openings, 16, 1)) {
                CHECK(f.corners.size() <= 16);
                const double part = area_m2({f.corners, {}});
                CHECK(part > 0.0);
                sum += part;
            }
            CHECK(std::abs(sum / area_m2(r) - 1.0) < 1e-4);
        }
    }

    TEST_CASE("least width and gap are found between facing edges, in one figure and between two") {
        const LeastWidths apart = least_widths({drawn_box(0, 0, 5000, 4000), drawn_box(8000, 0, 20000, 9000)});
        CHECK(std::abs(apart.width_m - 4e-6) < 1e-12);
        CHECK(std::abs(apart.gap_m - 3e-6) < 1e-12);
        // A U: arms 2 um wide, 1.5 um apart.
        const LeastWidths u = least_widths(
            {{{{0, 0}, {5500, 0}, {5500, 9000}, {3500, 9000}, {3500, 3000}, {2000, 3000}, {2000, 9000}, {0, 9000}},
              {}}});
        CHECK(std::abs(u.width_m - 2e-6) < 1e-12);
        CHECK(std::abs(u.gap_m - 1.5e-6) < 1e-12);
        CHECK(least_widths({drawn_box(0, 0, 5000, 4000), drawn_box(4000, 1000, 9000, 2000)}).gap_m == 0.0);
    }
}

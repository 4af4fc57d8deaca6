#include "tymbal/pattern/hole_figure.h"

#include "tymbal/base/error.h"

#include "support/approx.h"

#include <doctest/doctest.h>

#include <cmath>
#include <numbers>
#include <set>

using namespace tymbal;

namespace {

HoleFigure circle(double width_um, int grid, int most = most_corners_of_old_readers) {
    return draw_hole({HoleShape::circle, width_um * 1e-6, 0.0, grid, most});
}

double shoelace(const HoleFigure& f) {
    double twice = 0.0;
    for (std::size_t k = 0; k < f.corners.size(); ++k) {
        const DrawnPoint a = f.corners[k], b = f.corners[(k + 1) % f.corners.size()];
        twice += static_cast<double>(a.x) * b.y - static_cast<double>(b.x) * a.y;
    }
    return 0.5 * twice * drawn_unit_m * drawn_unit_m;
}

}  // namespace

TEST_SUITE("unit") {
    TEST_CASE("a circle's polygon has the circle's area, where inscribed polygons print small") {
        // An inscribed 8-gon has 8/(2 pi) sin(pi/4) = 90.0 % of the circle's area, equivalent diameter 5.1 % small.
        CHECK(std::sqrt(8.0 / (2.0 * std::numbers::pi) * std::sin(std::numbers::pi / 4)) ==
              sample::Approx(1.0 - 0.051).epsilon(0.001));
        const HoleFigure f = circle(2.0, 1);
        CHECK(std::abs(f.width_m - 2e-6) < 0.5e-9);  // half a step of the grid
        CHECK(shoelace(f) == sample::Approx(std::numbers::pi * 1e-12).epsilon(5e-4));
        CHECK(f.width_m == sample::Approx(std::sqrt(4.0 * shoelace(f) / std::numbers::pi)));
    }

    TEST_CASE("the edge stays within half a grid step of the circle, by as few corners as that needs") {
        for (const double width : {0.8, 1.7, 3.0, 20.0}) {
            const HoleFigure f = circle(width, 50);
            CAPTURE(width);
            CAPTURE(f.corners.size());
            // Half a step by the count of corners, half a step's diagonal by rounding, half a step by the size.
            CHECK(f.largest_departure_m <= (0.5 + std::sqrt(0.5) + 0.5) * 50e-9);
            CHECK(std::abs(f.width_m - width * 1e-6) < 10e-9);  // a fifth of the step
            CHECK(f.corners.size() <= 72);
        }
        CHECK(circle(20.0, 1).corners.size() > 150);
        CHECK(circle(20.0, 1, 32).corners.size() <= 32);
    }

    TEST_CASE("corners lie on the address grid and the figure on both its mirrors") {
        for (const double width : {0.93, 1.7, 2.04}) {
            const HoleFigure f = circle(width, 50);
            std::set<std::array<double, 2>> about;
            for (const DrawnPoint p : f.corners) {
                CHECK(p.x % 50 == 0);
                CHECK(p.y % 50 == 0);
                about.insert({p.x - f.centre_x, p.y - f.centre_y});
            }
            for (const auto& [x, y] : about) {
                CHECK(about.count({-x, y}) == 1);
                CHECK(about.count({x, -y}) == 1);
                CHECK(about.count({y, x}) == 1);
            }
        }
    }

    TEST_CASE("a square's side may be an odd number of grid steps: its centre then lies between grid points") {
        const HoleFigure even = draw_hole({HoleShape::square, 1.0e-6, 0.0, 100, 199});
        CHECK(even.width_m == sample::Approx(1.0e-6));
        CHECK(even.centre_x == 0.0);
        const HoleFigure odd = draw_hole({HoleShape::square, 1.1e-6, 0.0, 100, 199});
        CHECK(odd.width_m == sample::Approx(1.1e-6));
        CHECK(odd.centre_x == -50.0);
        CHECK(odd.corners.size() == 4);
        CHECK(odd.least_width_m == sample::Approx(1.1e-6));
    }

    TEST_CASE("a turned square and a hexagon keep their area and shape within the grid") {
        for (const HoleShape shape : {HoleShape::square, HoleShape::hexagon}) {
            const HoleFigure f = draw_hole({shape, 2e-6, 0.3, 10, 199});
            CHECK(f.corners.size() == (shape == HoleShape::square ? 4 : 6));
            CHECK(shoelace(f) ==
                  sample::Approx(shape == HoleShape::square ? 4e-12 : 2e-12 * std::sqrt(3.0)).epsilon(0.005));
            CHECK(f.largest_departure_m < 15e-9);
            CHECK(f.least_width_m == sample::Approx(2e-6).epsilon(0.01));
        }
    }

    TEST_CASE("a hole below the address grid has no drawing") {
        CHECK_THROWS_AS((void)circle(0.2, 1000), NoAnswer);
    }

    TEST_CASE("the gap between two drawn squares is that of elementary geometry, negative where they overlap") {
        const HoleFigure f = draw_hole({HoleShape::square, 1e-6, 0.0, 100, 199});
        CHECK(drawn_gap_m(f, 1500.0, 0.0) == sample::Approx(0.5e-6));
        CHECK(drawn_gap_m(f, 1300.0, 1400.0) == sample::Approx(0.5e-6));  // corners 300 and 400 apart
        CHECK(drawn_gap_m(f, 900.0, 0.0) == sample::Approx(-0.1e-6));
    }
}

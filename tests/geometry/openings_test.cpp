// Single holes as figures: where their edges are, and how much they open.
#include "tymbal/geometry/openings.h"

#include "support/approx.h"

#include "tymbal/base/constants.h"
#include "tymbal/geometry/front.h"
#include "tymbal/geometry/lattice.h"

#include <doctest/doctest.h>

#include <cmath>
#include <utility>

using namespace tymbal;
using sample::Approx;

TEST_SUITE("unit") {
    TEST_CASE("a turned lattice turns its polygons counter-clockwise, and leaves them as large as they are") {
        constexpr double size = 2e-6, turn = 0.4;
        for (const auto& [shape, open] : {std::pair{HoleShape::square, size * size},
                                          std::pair{HoleShape::hexagon, 0.5 * std::sqrt(3.0) * size * size}}) {
            const PlacedHoles holes{shape, size, turn, {{3e-6, -1e-6}}};
            const std::vector<Figure> all = figures(holes);
            REQUIRE(all.size() == 1);
            CHECK(area(all[0]) == Approx(open).epsilon(1e-12));
            const std::vector<Point> corners = figure(shape, size);
            REQUIRE(all[0].size() == corners.size());
            for (std::size_t k = 0; k < corners.size(); ++k) {
                const double radius = std::hypot(corners[k].x, corners[k].y);
                const double angle = std::atan2(corners[k].y, corners[k].x) + turn;
                CHECK(all[0][k].a.x - 3e-6 == Approx(radius * std::cos(angle)).epsilon(1e-9));
                CHECK(all[0][k].a.y + 1e-6 == Approx(radius * std::sin(angle)).epsilon(1e-9));
            }
        }
    }

    TEST_CASE("circles know no turn") {
        const std::vector<Figure> all = figures({HoleShape::circle, 2e-6, 0.4, {{0.0, 0.0}, {5e-6, 0.0}}});
        REQUIRE(all.size() == 2);
        CHECK(area(all[1]) == Approx(0.25 * constants::pi * 4e-12).epsilon(1e-12));
    }
}

#include "tymbal/grid/grid.h"
#include "support/approx.h"

#include "tymbal/base/error.h"

#include "support/films.h"

#include <doctest/doctest.h>

#include <cmath>
#include <numeric>

using namespace tymbal;

namespace {

const Outline l_shape = Polygon{{{0, 0}, {2, 0}, {2, 1}, {1, 1}, {1, 2}, {0, 2}}};
const Outline slanted = Polygon{{{0, 0}, {3, 1}, {2, 2.5}, {0.2, 1.7}}};
const Outline outlines[] = {simple::rectangle(3, 2), simple::disc(2), simple::ring(2, 0.4002), l_shape, slanted};

double covered_area(const Outline& outline, int cells) {
    const Boundary rim = boundary(outline);
    const Grid grid = make_grid(rim, cells, cells);
    const auto part = covered(rim, grid);
    return std::accumulate(part.begin(), part.end(), 0.0) * grid.dx * grid.dy;
}

}  // namespace

TEST_SUITE("unit") {
    TEST_CASE("a rectangle's rim lies on grid lines: every arm is one spacing long") {
        const Grid grid = make_grid(boundary(simple::rectangle(3, 2)), 6, 8);
        CHECK(grid.nodes.size() == 5 * 7);
        for (const Node& node : grid.nodes)
            for (std::size_t a = 0; a < 4; ++a)
                CHECK(node.arms[a].length == sample::Approx(a < 2 ? 0.5 : 0.25).epsilon(1e-12));
    }

    TEST_CASE("covered parts add up to the area of the outline") {
        for (const Outline& outline : outlines)
            CHECK(covered_area(outline, 64) == sample::Approx(area(boundary(outline))).epsilon(1e-3));
    }

    TEST_CASE("an outline narrower than its grid has no answer") {
        const Outline sliver = Polygon{{{0, 0}, {1, 0.4}, {1, 0.6}}};
        CHECK_THROWS_AS((void)make_grid(boundary(sliver), 4, 4), NoAnswer);
    }
}

TEST_SUITE("invariant") {
    TEST_CASE("arms are mutual, and cut arms end on the rim") {
        constexpr std::size_t opposite[] = {1, 0, 3, 2};
        for (const Outline& outline : outlines) {
            for (const int cells : {21, 32, 45, 72}) {
                const Boundary rim = boundary(outline);
                const Grid grid = make_grid(rim, cells, cells);
                double furthest = 0.0;
                for (std::size_t n = 0; n < grid.nodes.size(); ++n) {
                    for (std::size_t a = 0; a < 4; ++a) {
                        const Arm& arm = grid.nodes[n].arms[a];
                        if (!arm.cut()) {
                            CHECK(grid.nodes[static_cast<std::size_t>(arm.to)].arms[opposite[a]].to ==
                                  static_cast<int>(n));
                            continue;
                        }
                        Point end = grid.place(grid.nodes[n]);
                        (a < 2 ? end.x : end.y) += a % 2 == 0 ? arm.length : -arm.length;
                        furthest = std::max(furthest, std::abs(signed_distance(rim, end)));
                        CHECK(std::hypot(grid.end_of(arm).normal.x, grid.end_of(arm).normal.y) == sample::Approx(1.0));
                    }
                }
                // A node within 1 % of a spacing from the rim stands for the rim.
                CHECK(furthest <= 0.0101 * std::max(grid.dx, grid.dy));
            }
        }
    }

    TEST_CASE("the normal of an arm that runs into a dropped node is the rim's") {
        // Radius 7.2 spacings: node (4, 6) of the inner circle lies 1 % of a spacing outside it.
        const Boundary rim = boundary(simple::ring(1.0, 0.2001));
        const Grid grid = make_grid(rim, 72, 72);
        for (const Node& node : grid.nodes) {
            for (std::size_t a = 0; a < 4; ++a) {
                if (!node.arms[a].cut()) continue;
                Point end = grid.place(node);
                (a < 2 ? end.x : end.y) += a % 2 == 0 ? node.arms[a].length : -node.arms[a].length;
                const double radius = std::hypot(end.x, end.y), sign = radius > 0.3 ? 1.0 : -1.0;
                CHECK(grid.end_of(node.arms[a]).normal.x ==
                      sample::Approx(sign * end.x / radius).epsilon(0.01).scale(1.0));
                CHECK(grid.end_of(node.arms[a]).normal.y ==
                      sample::Approx(sign * end.y / radius).epsilon(0.01).scale(1.0));
            }
        }
    }
}

// Shapes read away from the grid's own points, and pairs turned the same way on every grid.
#include "spline/shapes.h"
#include "spline/film_modes.h"

#include "tymbal/base/constants.h"
#include "tymbal/geometry/boundary.h"

#include "support/approx.h"

#include <doctest/doctest.h>

#include <cmath>

using namespace tymbal;
using namespace tymbal::spline;

namespace {

constexpr double side = 100e-6, hole = 10e-6;

/// A square whose clamped layer is far thinner than its grid, one small hole in its middle.
FilmModes holed_square(double narrowest) {
    FilmProblem p;
    p.rim = rectangle_figure({0.0, 0.0}, {side, side}, 0.0, 0.0);
    p.openings = {circle_figure({0.0, 0.0}, hole)};
    p.sheet = {250e9 * 5e-9, 0.25, 250e9 * std::pow(5e-9, 3) / 11.25, 3100.0 * 5e-9, 1e9 * 5e-9};
    p.narrowest = narrowest;
    p.count = 3;
    return film_modes(p);
}

}  // namespace

TEST_SUITE("unit") {
    TEST_CASE("shapes are those of the membrane, go on a little beyond a free edge, and are nothing far from film") {
        const FilmModes found = holed_square(hole);
        const SolvedGrid& g = found.grid;
        const std::vector<Point> points{{0.25 * side, 0.25 * side},
                                        {0.3 * side, 0.1 * side},
                                        {0.5 * side, 0.2 * side},
                                        {0.45 * hole, 0.0},
                                        {2.0 * side, 0.0}};
        const Eigen::MatrixXd w = shapes_at(g.cells, g.space, g.vectors, points);
        const auto sine = [](const Point& p) {
            return std::cos(constants::pi * p.x / side) * std::cos(constants::pi * p.y / side);
        };
        CHECK(w(1, 0) / w(0, 0) == sample::Approx(sine(points[1]) / sine(points[0])).epsilon(0.01));
        CHECK(std::abs(w(2, 0) / w(0, 0)) < 1e-3);
        CHECK(w(3, 0) / w(0, 0) == sample::Approx(sine({0.5 * hole, 0.0}) / sine(points[0])).epsilon(0.06));
        CHECK(w(4, 0) == 0.0);
    }

    TEST_CASE("the pair of a square comes with its nodal lines along the sides, on one grid as on another") {
        for (const double narrowest : {hole, 0.37 * hole}) {
            const SolvedGrid g = holed_square(narrowest).grid;
            const Eigen::MatrixXd w = shapes_at(g.cells, g.space, g.vectors,
                                                {{0.0, 0.2 * side}, {0.2 * side, 0.0}, {0.2 * side, 0.2 * side}});
            for (const Eigen::Index k : {1, 2}) {
                const double across = std::min(std::abs(w(0, k)), std::abs(w(1, k)));
                CHECK(across < 1e-4 * std::abs(w(2, k)));
            }
        }
    }
}

#include "spline/space.h"

#include "tymbal/base/constants.h"
#include "tymbal/base/error.h"
#include "tymbal/geometry/boundary.h"

#include "support/approx.h"

#include <doctest/doctest.h>

#include <algorithm>
#include <cmath>
#include <set>

using namespace tymbal;
using namespace tymbal::spline;

namespace {

Cells cut(const Boundary& rim, const std::vector<Figure>& openings, double h, HeldSides held = HeldSides::all) {
    const Region region = film_region(rim, openings, h, held);
    return cut_cells(region, frame_of(region, h));
}

double length_of(const Cells& cells, const std::vector<EdgePiece>& edges) {
    double sum = 0.0;
    for (const EdgePiece& e : edges)
        sum += std::hypot((e.b.x - e.a.x) * cells.frame.hx, (e.b.y - e.a.y) * cells.frame.hy);
    return sum;
}

double held_length(const Cells& cells) {
    double sum = length_of(cells, cells.held_edges);
    for (const SidePiece& s : cells.held_sides)
        sum += (s.to - s.from) * (s.side == Side::left || s.side == Side::right ? cells.frame.hy : cells.frame.hx);
    return sum;
}

/// How many sets of unknowns that no part shares.
std::size_t pieces(const Space& space) {
    std::vector<int> mark(static_cast<std::size_t>(space.size));
    for (std::size_t k = 0; k < mark.size(); ++k) mark[k] = static_cast<int>(k);
    for (bool changed = true; changed;) {
        changed = false;
        for (const PartUnknowns& p : space.parts) {
            int least = mark[static_cast<std::size_t>(p.unknown[0])];
            for (const int u : p.unknown) least = std::min(least, mark[static_cast<std::size_t>(u)]);
            for (const int u : p.unknown)
                if (mark[static_cast<std::size_t>(u)] != least) {
                    mark[static_cast<std::size_t>(u)] = least;
                    changed = true;
                }
        }
    }
    return std::set<int>(mark.begin(), mark.end()).size();
}

}  // namespace

TEST_SUITE("unit") {
    TEST_CASE("the parts of cut cells add up to the film, wherever edges cut the grid") {
        for (const double turn : {0.0, 0.2, 0.7853981633974483})
            for (const double h : {0.1, 0.043, 0.021}) {
                CAPTURE(turn);
                CAPTURE(h);
                const Cells cells =
                    cut(rectangle_figure({0.1, -0.2}, {1.0, 0.8}, 0.0, turn), {circle_figure({0.12, -0.25}, 0.4)}, h);
                CHECK(cells.area() == sample::Approx(0.8 - constants::pi * 0.04).epsilon(1e-6));
                CHECK(held_length(cells) == sample::Approx(3.6).epsilon(1e-6));
                CHECK(length_of(cells, cells.free_edges) == sample::Approx(0.4 * constants::pi).epsilon(1e-3));
            }
    }

    TEST_CASE("polynomials up to degree five are integrated exactly over a cut cell") {
        // Int x^5 y^4 over the triangle (0,0), (1,0), (0,1) is 5! 4!/11! (Dirichlet's integral).
        const Cells cells = cut(polygon_figure({{0.0, 0.0}, {4.0, 0.0}, {0.0, 4.0}}), {}, 1.0);
        double sum = 0.0;
        for (const Part& part : cells.parts) {
            const Weights& w = cells.weights_of(part);
            for (int q = 0; q < point_count; ++q) {
                const Point p = cells.place(part, gauss().at[static_cast<std::size_t>(q % gauss_count)],
                                            gauss().at[static_cast<std::size_t>(q / gauss_count)]);
                sum += w[q] * std::pow(0.25 * p.x, 5) * std::pow(0.25 * p.y, 4);
            }
        }
        CHECK(sum / 16.0 == sample::Approx(120.0 * 24.0 / 39916800.0).epsilon(1e-5));
    }

    TEST_CASE("an opening that crosses the outline leaves the rim held only where film is left") {
        const Cells cells = cut(rectangle_figure({0.0, 0.0}, {1.0, 1.0}, 0.0, 0.0),
                                {rectangle_figure({0.5, 0.0}, {0.2, 0.6}, 0.0, 0.0)}, 0.05);
        CHECK(cells.area() == sample::Approx(0.94).epsilon(1e-6));
        CHECK(held_length(cells) == sample::Approx(3.4).epsilon(1e-6));
        CHECK(length_of(cells, cells.free_edges) == sample::Approx(0.8).epsilon(1e-6));
    }

    TEST_CASE("openings that overlap count once") {
        const Cells cells = cut(
            rectangle_figure({0.0, 0.0}, {1.0, 1.0}, 0.0, 0.0),
            {rectangle_figure({0.0, 0.0}, {0.4, 0.1}, 0.0, 0.0), rectangle_figure({0.0, 0.0}, {0.1, 0.4}, 0.0, 0.0)},
            0.03);
        CHECK(cells.area() == sample::Approx(1.0 - 0.07).epsilon(1e-6));
    }

    TEST_CASE("a long side of a strip is free") {
        const Cells cells =
            cut(rectangle_figure({0.0, 0.0}, {1.0, 0.1}, 0.0, 0.0), {}, 0.02, HeldSides::left_and_right);
        CHECK(held_length(cells) == sample::Approx(0.2).epsilon(1e-9));
        CHECK(cells.held_edges.empty());
    }

    TEST_CASE("film that openings cut off is left out and its place is named") {
        // A ring-shaped slit round the middle, of four bars.
        const std::vector<Figure> slit{
            rectangle_figure({0.0, 0.2}, {0.5, 0.05}, 0.0, 0.0), rectangle_figure({0.0, -0.2}, {0.5, 0.05}, 0.0, 0.0),
            rectangle_figure({0.2, 0.0}, {0.05, 0.5}, 0.0, 0.0), rectangle_figure({-0.2, 0.0}, {0.05, 0.5}, 0.0, 0.0)};
        const Region region = film_region(rectangle_figure({0.0, 0.0}, {1.0, 1.0}, 0.0, 0.0), slit, 0.05);
        REQUIRE(region.loose.size() == 1);
        CHECK(region.loose.front().area == sample::Approx(0.35 * 0.35).epsilon(1e-6));
        CHECK(std::max(std::abs(region.loose.front().at.x), std::abs(region.loose.front().at.y)) ==
              sample::Approx(0.175).epsilon(1e-6));
        CHECK_THROWS_AS((void)film_region(rectangle_figure({0.0, 0.0}, {1.0, 1.0}, 0.0, 0.0),
                                          {rectangle_figure({0.0, 0.0}, {2.0, 2.0}, 0.0, 0.0)}, 0.05),
                        NoAnswer);
    }

    TEST_CASE("film on both sides of a slit narrower than a cell is not glued") {
        for (const double slit : {0.3, 1.0, 3.0}) {
            CAPTURE(slit);
            constexpr double h = 0.037;
            // The slit runs through from end to end: two ribbons.
            const Cells cells = cut(rectangle_figure({0.0, 0.0}, {1.0, 0.5}, 0.0, 0.0),
                                    {rectangle_figure({0.0, 0.013}, {1.2, slit * h}, 0.0, 0.0)}, h);
            CHECK(pieces(make_space(cells)) == 2);
        }
    }

    TEST_CASE("corners of the film on grid lines and diagonals through cells' corners are no trouble") {
        const Cells cells = cut(polygon_figure({{-0.5, 0.0}, {0.0, -0.5}, {0.5, 0.0}, {0.0, 0.5}}),
                                {rectangle_figure({0.0, 0.0}, {0.2, 0.2}, 0.0, 0.7853981633974483)}, 0.1);
        CHECK(cells.area() == sample::Approx(0.5 - 0.04).epsilon(1e-6));
    }
}

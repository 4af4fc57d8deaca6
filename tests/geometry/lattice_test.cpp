#include "tymbal/geometry/lattice.h"
#include "support/approx.h"

#include "tymbal/base/error.h"

#include "support/films.h"

#include <doctest/doctest.h>

#include <algorithm>
#include <cmath>
#include <numbers>

using namespace tymbal;

namespace {

HolePattern pattern(Lattice lattice, HoleShape shape = HoleShape::circle) {
    return {lattice, shape, simple::length(0.3), simple::length(1.0), 0.0, {}, {}, {}, {}};
}

double cell_of(Lattice lattice) {  // area per hole in units of the pitch squared, elementary geometry
    if (lattice == Lattice::square) return 1.0;
    return lattice == Lattice::triangular ? std::sqrt(3.0) / 2.0 : 3.0 * std::sqrt(3.0) / 4.0;
}

double nearest(const std::vector<Hole>& holes, std::size_t k) {
    double least = 1e300;
    for (std::size_t j = 0; j < holes.size(); ++j)
        if (j != k)
            least = std::min(least,
                             std::hypot(holes[j].centre.x - holes[k].centre.x, holes[j].centre.y - holes[k].centre.y));
    return least;
}

bool lies_in(const std::vector<Point>& convex, Point p) {
    for (std::size_t k = 0; k < convex.size(); ++k) {
        const Point a = convex[k], b = convex[(k + 1) % convex.size()];
        if ((b.x - a.x) * (p.y - a.y) - (b.y - a.y) * (p.x - a.x) < 0.0) return false;
    }
    return true;
}

const Lattice lattices[] = {Lattice::square, Lattice::triangular, Lattice::honeycomb};

}  // namespace

TEST_SUITE("unit") {
    TEST_CASE("a square of side 10.3 holds 11 x 11 square sites of hole 0.3") {
        CHECK(place_holes(pattern(Lattice::square), boundary(simple::rectangle(10.3, 10.3))).size() == 121);
        CHECK(place_holes(pattern(Lattice::square), boundary(simple::rectangle(10.2, 10.2))).size() == 81);
    }

    TEST_CASE("rows of a triangular lattice alternate between n and n - 1 holes") {
        // Rows at multiples of 0.866: y = 0, +-1.732 hold 5 holes (x = -2..2), y = +-0.866 hold 4 (+-0.5, +-1.5).
        CHECK(place_holes(pattern(Lattice::triangular), boundary(simple::rectangle(4.4, 3.9))).size() ==
              5 + 2 * 5 + 2 * 4);
    }

    TEST_CASE("numbers of holes follow the area of the lattice cell") {
        for (const Lattice lattice : lattices) {
            const Boundary rim = boundary(simple::rectangle(80.0, 60.0));
            // Centres lie in a box of 79.7 x 59.7; up to half a row may be missing or spare at each side (2.5 %).
            const double expected = 79.7 * 59.7 / cell_of(lattice);
            CHECK(static_cast<double>(place_holes(pattern(lattice), rim).size()) ==
                  sample::Approx(expected).epsilon(0.025));
        }
    }

    TEST_CASE("nearest holes are one pitch apart in every lattice, turned or not") {
        for (const Lattice lattice : lattices) {
            HolePattern p = pattern(lattice);
            p.angle_rad = 0.37;
            const auto holes = place_holes(p, boundary(simple::disc(12.0)));
            for (std::size_t k = 0; k < holes.size(); ++k) CHECK(nearest(holes, k) == sample::Approx(1.0));
        }
    }

    TEST_CASE("an omitted site is missing and nothing else") {
        HolePattern p = pattern(Lattice::square);
        p.omit = {{0, 0}};
        const auto holes = place_holes(p, boundary(simple::rectangle(10.3, 10.3)));
        CHECK(holes.size() == 120);
        for (const Hole& h : holes) CHECK(std::hypot(h.centre.x, h.centre.y) > 0.5);
    }

    TEST_CASE("a field narrows the pattern to its own box") {
        HolePattern p = pattern(Lattice::square);
        p.field = {Length::from_si(4.3), Length::from_si(2.3)};  // outermost hole edges of 5 x 3 holes
        CHECK(place_holes(p, boundary(simple::rectangle(10.3, 10.3))).size() == 15);
    }

    TEST_CASE("a pattern without room for one hole has no answer") {
        HolePattern p = pattern(Lattice::square);
        p.margin = Length::from_si(6.0);
        CHECK_THROWS_AS((void)place_holes(p, boundary(simple::rectangle(10.0, 10.0))), NoAnswer);
    }

    TEST_CASE("millions of holes are refused before the first is placed") {
        const Boundary rim = boundary(simple::rectangle(3000.0, 3000.0));  // nine million at a pitch of 1
        CHECK_THROWS_WITH_AS((void)place_holes(pattern(Lattice::square), rim),
                             doctest::Contains("more than a million holes; use a larger pitch"), NoAnswer);
    }

    TEST_CASE("a polygon clipped to a box loses what lies outside") {
        const std::vector<Point> square{{0, 0}, {2, 0}, {2, 2}, {0, 2}};
        CHECK(polygon_area(clip(square, {{1, 1}, {5, 5}})) == sample::Approx(1.0));
        CHECK(polygon_area(clip(square, {{-1, -1}, {5, 5}})) == sample::Approx(4.0));
        CHECK(clip(square, {{3, 3}, {5, 5}}).empty());
        const std::vector<Point> diamond{{1, 0}, {0, 1}, {-1, 0}, {0, -1}};
        CHECK(polygon_area(clip(diamond, {{-0.5, -0.5}, {0.5, 0.5}})) == sample::Approx(1.0));  // touches all corners
        CHECK(polygon_area(clip(diamond, {{0.0, 0.0}, {1.0, 1.0}})) == sample::Approx(0.5));
    }
}

TEST_SUITE("invariant") {
    TEST_CASE("every point of every hole's edge keeps the margin, and one more hole would not") {
        for (const Lattice lattice : lattices) {
            for (const HoleShape shape : {HoleShape::circle, HoleShape::square, HoleShape::hexagon}) {
                HolePattern p = pattern(lattice, shape);
                p.margin = Length::from_si(0.4);
                p.angle_rad = 0.2;
                const Boundary rim = boundary(simple::ring(14.0, 4.0));
                double closest = 1e300;
                for (const Hole& h : place_holes(p, rim)) {
                    std::vector<Point> edge = figure(shape, 0.3);
                    for (int k = 0; edge.size() < 64 && shape == HoleShape::circle; ++k)
                        edge.push_back({0.15 * std::cos(0.1 * k), 0.15 * std::sin(0.1 * k)});
                    for (const Point& e : edge) {
                        const Point at{h.centre.x + std::cos(0.2) * e.x - std::sin(0.2) * e.y,
                                       h.centre.y + std::sin(0.2) * e.x + std::cos(0.2) * e.y};
                        closest = std::min(closest, signed_distance(rim, at));
                    }
                }
                CHECK(closest >= 0.4 - 1e-9);
                CHECK(closest < 0.4 + 0.5);  // no whole row was given away
            }
        }
    }

    TEST_CASE("the holes' own cells tile the plane") {
        for (const Lattice lattice : lattices) {
            HolePattern p = pattern(lattice);
            p.angle_rad = 0.3;
            const auto holes = place_holes(p, boundary(simple::disc(14.0)));
            for (const Hole& h : holes) CHECK(polygon_area(own_cell(p, h)) == sample::Approx(cell_of(lattice)));
            // Each point well inside belongs to exactly one cell.
            for (int k = 0; k < 200; ++k) {
                const double r = 4.0 * std::sqrt((k + 0.5) / 200.0), angle = 2.399963 * k;  // golden-angle spiral
                const Point at{r * std::cos(angle), r * std::sin(angle)};
                const auto owners = std::count_if(holes.begin(), holes.end(),
                                                  [&](const Hole& h) { return lies_in(own_cell(p, h), at); });
                CHECK(owners == 1);
            }
        }
    }

    TEST_CASE("hole figures have the area their width says") {
        CHECK(polygon_area(figure(HoleShape::square, 0.3)) == sample::Approx(0.09));
        // Regular hexagon of width w across flats: (sqrt 3/2) w^2.
        CHECK(polygon_area(figure(HoleShape::hexagon, 0.3)) == sample::Approx(0.5 * std::sqrt(3.0) * 0.09));
    }
}

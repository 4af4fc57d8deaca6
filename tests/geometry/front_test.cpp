#include "tymbal/geometry/front.h"
#include "support/approx.h"

#include "tymbal/base/error.h"
#include "tymbal/geometry/boundary.h"

#include <doctest/doctest.h>

#include <cmath>

using namespace tymbal;

namespace {

constexpr double pi = 3.14159265358979323846;

PlacedHoles circles(std::vector<Point> centres) {
    return {HoleShape::circle, 2.0, 0.0, std::move(centres)};
}

/// Holes (i, j), i and j from 0, on a square lattice of pitch p.
std::vector<Point> block(int across, int up, double p) {
    std::vector<Point> centres;
    for (int j = 0; j < up; ++j)
        for (int i = 0; i < across; ++i) centres.push_back({i * p, j * p});
    return centres;
}

/// Area of the points within `undercut` of a hole, counted on a fine raster: independent of lines and arcs.
double counted(const PlacedHoles& holes, double undercut, Box box, int n) {
    long inside = 0;
    const double dx = (box.high.x - box.low.x) / n, dy = (box.high.y - box.low.y) / n;
    for (int j = 0; j < n; ++j) {
        for (int i = 0; i < n; ++i) {
            const Point p{box.low.x + (i + 0.5) * dx, box.low.y + (j + 0.5) * dy};
            for (const Point& c : holes.centres)
                if (distance_to_hole(holes, c, p) <= undercut) {
                    ++inside;
                    break;
                }
        }
    }
    return static_cast<double>(inside) * dx * dy;
}

}  // namespace

TEST_SUITE("unit") {
    TEST_CASE("before fronts meet each hole has its own region") {
        const PlacedHoles holes = circles(block(3, 2, 10.0));
        const Boundary rim = front(holes, 1.5);
        CHECK(loops(rim).size() == 6);
        CHECK(area(rim) == sample::Approx(6.0 * pi * 2.5 * 2.5).epsilon(1e-12));       // closed geometry
        CHECK(perimeter(rim) == sample::Approx(6.0 * 2.0 * pi * 2.5).epsilon(1e-12));  // closed geometry
    }

    TEST_CASE("two overlapping circles enclose the lens formula's area") {
        const double r = 2.0, d = 3.0;  // hole radius 1, undercut 1
        const Boundary rim = front(circles({{0, 0}, {d, 0}}), 1.0);
        // Area of a lens of two circles of radius r at distance d (school geometry).
        const double lens = 2.0 * r * r * std::acos(0.5 * d / r) - 0.5 * d * std::sqrt(4.0 * r * r - d * d);
        CHECK(area(rim) == sample::Approx(2.0 * pi * r * r - lens).epsilon(1e-12));
        CHECK(loops(rim).size() == 1);
    }

    TEST_CASE("a square lattice keeps pillars until pitch / sqrt(2) - radius") {
        const double p = 5.0, clears = p / std::sqrt(2.0) - 1.0;
        const PlacedHoles holes = circles(block(6, 5, p));
        const auto islands = [&](double undercut) {
            long count = 0;
            for (const Loop& l : loops(front(holes, undercut))) count += l.area < 0.0 ? 1 : 0;
            return count;
        };
        CHECK(islands(clears * 0.999) == 20);  // one in each of 5 x 4 meshes
        CHECK(islands(clears * 1.001) == 0);
        CHECK(loops(front(holes, 1.49)).size() == 30);  // ligament 3: fronts meet at 1.5
    }

    TEST_CASE("an island's area is what four circles leave of their mesh") {
        const double p = 5.0, r = 3.0;  // hole radius 1, undercut 2
        const Boundary rim = front(circles(block(2, 2, p)), 2.0);
        double island = 0.0;
        for (const Loop& l : loops(rim))
            if (l.area < 0.0) island = -l.area;
        const double half_lens = r * r * std::acos(0.5 * p / r) - 0.25 * p * std::sqrt(4.0 * r * r - p * p);
        CHECK(island == sample::Approx(p * p - pi * r * r + 4.0 * half_lens).epsilon(1e-12));  // by hand
    }

    TEST_CASE("a front moved inwards keeps the points that are that far from it") {
        for (const HoleShape shape : {HoleShape::circle, HoleShape::square, HoleShape::hexagon}) {
            for (const double undercut : {2.2, 3.4}) {  // the second shows slivers of the row behind between two fronts
                const PlacedHoles holes{shape, 2.0, 0.1, block(4, 3, 4.0)};
                const Boundary rim = front(holes, undercut), moved = inset_front(rim, 0.3);
                long kept = 0;
                const double step = 0.05;
                for (double y = -6.0; y < 15.0; y += step)
                    for (double x = -6.0; x < 19.0; x += step) kept += signed_distance(rim, {x, y}) >= 0.3 ? 1 : 0;
                CAPTURE(static_cast<int>(shape));
                CAPTURE(undercut);
                CHECK(area(moved) == sample::Approx(static_cast<double>(kept) * step * step).epsilon(3e-3));
            }
        }
    }

    TEST_CASE("a neck between two fronts that the inset closes is refused") {
        CHECK_THROWS_AS((void)inset_front(front(circles({{0, 0}, {4, 0}}), 1.1), 0.7), NoAnswer);
    }

    TEST_CASE("sides that meet to the last bit leave it to rounding whether they have met: refused") {
        // Squares of 2 on a triangular lattice of pitch 4, turned so that their sides face: they meet at an undercut
        // of 1.
        const double row = 2.0 * std::sqrt(3.0);
        const PlacedHoles holes{HoleShape::square, 2.0, pi / 6.0, {{14, row}, {2, row}, {0, 2.0 * row}}};
        CHECK_THROWS_WITH_AS((void)front(holes, 1.0), doctest::Contains("change the undercut by a nanometre"),
                             NoAnswer);
        CHECK(loops(front(holes, 1.001)).size() == 2);
        CHECK(loops(front(holes, 0.999)).size() == 3);
    }

    TEST_CASE("a front that has passed many rows still closes") {
        const PlacedHoles holes = circles(block(12, 9, 3.0));
        const Boundary rim = front(holes, 7.0);
        CHECK(loops(rim).size() == 1);
        const Box box = bounding_box(rim);
        CHECK(box.high.x - box.low.x == sample::Approx(11 * 3.0 + 16.0));
        for (std::size_t k = 0; k < rim.size(); ++k) {  // closed to the last bit
            CHECK(rim[k].b.x == rim[(k + 1) % rim.size()].a.x);
            CHECK(rim[k].b.y == rim[(k + 1) % rim.size()].a.y);
        }
    }
}

TEST_SUITE("invariant") {
    TEST_CASE("area agrees with counting points for every hole figure and angle") {
        for (const HoleShape shape : {HoleShape::circle, HoleShape::square, HoleShape::hexagon}) {
            for (const double angle : {0.1, 0.3}) {
                for (const double undercut : {0.4, 1.2, 2.0}) {
                    CAPTURE(static_cast<int>(shape));
                    CAPTURE(angle);
                    CAPTURE(undercut);
                    PlacedHoles holes{shape, 2.0, angle, block(3, 3, 4.5)};
                    holes.centres[4] = {4.9, 4.2};
                    const double exact = area(front(holes, undercut));
                    CHECK(exact == sample::Approx(counted(holes, undercut, {{-4, -4}, {13, 13}}, 400)).epsilon(3e-3));
                }
            }
        }
    }

    TEST_CASE("squares that face each other squarely have fronts too") {
        PlacedHoles holes{HoleShape::square, 2.0, 0.0, block(3, 3, 4.5)};
        holes.centres[4] = {4.9, 4.2};
        for (double undercut = 1.31; undercut < 2.6; undercut += 0.07) {
            CAPTURE(undercut);
            const double exact = area(front(holes, undercut));
            CHECK(exact == sample::Approx(counted(holes, undercut, {{-4, -4}, {13.1, 13.2}}, 397)).epsilon(5e-3));
        }
    }

    TEST_CASE("an undercut far wider than the field frees the field's square grown by it, less the scallops") {
        // Minkowski sum of a square of side s with a disc of radius R: s^2 + 4 s R + pi R^2; between two holes a pitch
        // p apart the rim dips by at most p^2/(8 R) [derived].
        const PlacedHoles holes = circles(block(30, 30, 3.0));
        const double side = 29 * 3.0, undercut = 400.0, reach = undercut + 1.0;
        const double hull = side * side + 4.0 * side * reach + pi * reach * reach;
        const Boundary rim = front(holes, undercut);
        CHECK(loops(rim).size() == 1);
        CHECK(area(rim) < hull);
        CHECK(area(rim) > hull - 4.0 * side * 3.0 * 3.0 / (8.0 * reach));
    }

    TEST_CASE("turning the holes turns the front") {
        PlacedHoles holes{HoleShape::hexagon, 2.0, 0.0, block(4, 3, 4.0)};
        const Boundary straight = front(holes, 1.3);
        const double angle = 0.7;
        for (Point& p : holes.centres)
            p = {std::cos(angle) * p.x - std::sin(angle) * p.y, std::sin(angle) * p.x + std::cos(angle) * p.y};
        holes.angle_rad = angle;
        const Boundary rotated = front(holes, 1.3);
        CHECK(area(rotated) == sample::Approx(area(straight)).epsilon(1e-12));
        CHECK(perimeter(rotated) == sample::Approx(perimeter(straight)).epsilon(1e-12));
        CHECK(loops(rotated).size() == loops(straight).size());
    }
}

TEST_SUITE("slow") {
    TEST_CASE("a front on which every hole meets every other is refused after a bounded number of comparisons") {
        std::vector<Point> row;
        for (int k = 0; k < 60'000; ++k) row.push_back({3.0 * k, 0.0});
        CHECK_THROWS_WITH_AS((void)front(circles(row), 1e6), doctest::Contains("shorter undercut"), NoAnswer);
        CHECK(front(circles(row), 1.0).size() > 60'000);
    }
}

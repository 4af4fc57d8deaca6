#include "tymbal/geometry/pillars.h"
#include "support/approx.h"

#include "tymbal/geometry/boundary.h"

#include <doctest/doctest.h>

#include <cmath>

using namespace tymbal;

namespace {

/// `across` x `up` holes of a lattice whose rows are `rise` apart and every other one shifted by half a pitch or not.
PlacedHoles rows(HoleShape shape, int across, int up, double pitch, double rise, bool staggered) {
    PlacedHoles holes{shape, 2.0, 0.0, {}};
    for (int j = 0; j < up; ++j)
        for (int i = 0; i < across; ++i)
            holes.centres.push_back({(i + (staggered && j % 2 == 1 ? 0.5 : 0.0)) * pitch, j * rise});
    return holes;
}

long islands(const PlacedHoles& holes, double undercut) {
    long count = 0;
    for (const Loop& l : loops(front(holes, undercut))) count += l.area < 0.0 ? 1 : 0;
    return count;
}

}  // namespace

TEST_SUITE("unit") {
    TEST_CASE("round holes on lattices clear at the circumradius less their own radius") {
        const double p = 5.0;
        const Clearing square = clearing(rows(HoleShape::circle, 5, 4, p, p, false));
        CHECK(square.spots.size() == 12);  // 4 x 3 meshes
        // Closed geometry: pitch / sqrt(2) - radius and pitch / sqrt(3) - radius.
        for (const LastOxide& spot : square.spots) CHECK(spot.clears_at == sample::Approx(p / std::sqrt(2.0) - 1.0));
        CHECK(square.merges_at == sample::Approx(1.5));  // half the ligament of 3
        const Clearing triangular = clearing(rows(HoleShape::circle, 5, 4, p, p * std::sqrt(0.75), true));
        CHECK(triangular.spots.size() == 24);  // 3 rows of 8 triangles
        for (const LastOxide& spot : triangular.spots)
            CHECK(spot.clears_at == sample::Approx(p / std::sqrt(3.0) - 1.0));
    }

    TEST_CASE("a hole left out leaves one late spot where it was missing") {
        PlacedHoles holes = rows(HoleShape::circle, 5, 5, 5.0, 5.0, false);
        holes.centres.erase(holes.centres.begin() + 12);
        const Clearing found = clearing(holes);
        CHECK(found.spots.front().place.x == sample::Approx(10.0));
        CHECK(found.spots.front().place.y == sample::Approx(10.0));
        CHECK(found.spots.front().clears_at == sample::Approx(4.0));  // nearest holes one pitch away, radius 1
        CHECK(found.spots[1].clears_at < 2.6);
    }

    TEST_CASE("square holes clear later than the circles inside them would say") {
        // Nearest corners of four squares of side 2 round the centre of a mesh of pitch 5: (1.5, 1.5) away.
        const Clearing found = clearing(rows(HoleShape::square, 4, 3, 5.0, 5.0, false));
        CHECK(found.spots.size() == 6);
        for (const LastOxide& spot : found.spots)
            CHECK(spot.clears_at == sample::Approx(1.5 * std::sqrt(2.0)).epsilon(1e-6));
        CHECK(found.merges_at == sample::Approx(1.5));
    }

    TEST_CASE("a void far wider than the pitch is found by the holes round it") {
        PlacedHoles holes{HoleShape::circle, 2.0, 0.0, {}};
        for (int k = 0; k < 360; ++k) {  // a crown of three rows round nothing
            const double angle = 3.14159265358979323846 / 180.0 * k;
            for (const double radius : {200.0, 203.5, 207.0})
                holes.centres.push_back({radius * std::cos(angle), radius * std::sin(angle)});
        }
        const LastOxide last = clearing(holes).spots.front();
        CHECK(last.clears_at == sample::Approx(199.0).epsilon(1e-9));  // radius 200 less the hole's own
        CHECK(std::hypot(last.place.x, last.place.y) < 1e-6);
    }

    TEST_CASE("one hole and one row have nothing between them") {
        CHECK(clearing({HoleShape::circle, 2.0, 0.0, {{1, 1}}}).spots.empty());
        const Clearing row = clearing(rows(HoleShape::circle, 6, 1, 4.0, 4.0, false));
        CHECK(row.spots.empty());
        CHECK(row.merges_at == sample::Approx(1.0));
    }
}

TEST_SUITE("invariant") {
    TEST_CASE("the last island goes exactly when the last spot says") {
        for (const HoleShape shape : {HoleShape::circle, HoleShape::square, HoleShape::hexagon}) {
            PlacedHoles holes = rows(shape, 5, 5, 5.0, 4.6, true);
            unsigned state = 7;  // small shifts from a fixed sequence
            for (Point& p : holes.centres) {
                state = state * 1664525U + 1013904223U;
                p.x += 0.6 * (static_cast<double>(state >> 16U) / 65536.0 - 0.5);
                p.y += 0.6 * (static_cast<double>(state & 0xFFFFU) / 65536.0 - 0.5);
            }
            const Clearing found = clearing(holes);
            CAPTURE(static_cast<int>(shape));
            CHECK(islands(holes, found.spots.front().clears_at * 0.9999) >= 1);
            CHECK(islands(holes, found.spots.front().clears_at * 1.0001) == 0);
            const auto regions = [&](double undercut) {
                long count = 0;
                for (const Loop& l : loops(front(holes, undercut))) count += l.area > 0.0 ? 1 : 0;
                return count;
            };
            CHECK(regions(found.merges_at * 1.0001) == 1);
            CHECK(regions(found.merges_at * 0.9999) > 1);
        }
    }
}

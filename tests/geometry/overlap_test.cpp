#include "tymbal/geometry/overlap.h"
#include "support/approx.h"

#include <doctest/doctest.h>

#include <cmath>

using namespace tymbal;

TEST_SUITE("unit") {
    TEST_CASE("ligaments are those of elementary geometry") {
        CHECK(lattice_ligament(Lattice::square, HoleShape::circle, 0.4) == sample::Approx(0.6));
        CHECK(lattice_ligament(Lattice::honeycomb, HoleShape::circle, 0.4) == sample::Approx(0.6));
        CHECK(lattice_ligament(Lattice::square, HoleShape::square, 0.4) == sample::Approx(0.6));
        // Squares on triangles: the rows are sqrt(3)/2 apart and each square overlaps its upper neighbours along x.
        CHECK(lattice_ligament(Lattice::triangular, HoleShape::square, 0.6) ==
              sample::Approx(std::sqrt(3.0) / 2.0 - 0.6));
        CHECK(lattice_ligament(Lattice::triangular, HoleShape::square, 0.9) < 0.0);
        // Hexagons with two sides along the first lattice direction: neighbours above lie across corners, at cos 30
        // degrees.
        CHECK(lattice_ligament(Lattice::triangular, HoleShape::hexagon, 0.5) ==
              sample::Approx(std::sqrt(3.0) / 2.0 - 0.5));
    }

    TEST_CASE("a polygon that crosses itself is caught, a simple one is not") {
        CHECK_FALSE(crossing_edges({{0, 0}, {2, 0}, {2, 1}, {1, 1}, {1, 2}, {0, 2}}).has_value());
        CHECK(crossing_edges({{0, 0}, {1, 1}, {1, 0}, {0, 1}}).has_value());
    }
}

// Films counted by few orders stand on the side of a limit on which all orders put them.
#include "tymbal/light/near_film.h"

#include <doctest/doctest.h>

#include <cmath>

using namespace tymbal;

namespace {

constexpr double nm = 1e-9;

/// Films two deviations off in thickness, index, size and pitch, each way.
double farthest(const LatticeLight& film) {
    const LatticeSolver near = solver_near(film, see_lattice);
    double worst = 0.0;
    for (int signs = 0; signs < 16; ++signs) {
        const auto sign = [&](int bit) { return (signs >> bit) % 2 == 0 ? 1.0 : -1.0; };
        LatticeLight other = film;
        other.layers.back().thickness_m += 4.0 * nm * sign(0);
        other.layers.back().index += 0.02 * sign(1);
        other.holes.size_m += 20.0 * nm * sign(2);
        other.holes.pitch_m += 2.0 * nm * sign(3);
        worst = std::max(worst, std::abs(near(other).reflectivity - see_lattice(other).reflectivity));
    }
    return worst;
}

LatticeLight mirror(Lattice lattice, HoleShape shape) {
    return {{lattice, shape, 1295.0 * nm, 800.0 * nm}, {{{2.0, 1e-6}, 190.0 * nm}}, 1550.0 * nm};
}

}  // namespace

TEST_SUITE("convergence") {
    TEST_CASE("films near one are within .03 on a line's flank, and within .005 off it") {
        CHECK(farthest(mirror(Lattice::square, HoleShape::circle)) < 0.03);
        CHECK(farthest(mirror(Lattice::triangular, HoleShape::hexagon)) < 0.005);
    }
}

TEST_SUITE("unit") {
    TEST_CASE("the film itself is the one that is known in full, also with a layer on it or with two fields") {
        for (LatticeLight film :
             {mirror(Lattice::square, HoleShape::circle), mirror(Lattice::triangular, HoleShape::square)}) {
            CHECK(std::abs(solver_near(film, see_lattice)(film).reflectivity - see_lattice(film).reflectivity) < 1e-9);
            film.layers.insert(film.layers.begin(), {1.45, 30.0 * nm});
            CHECK(std::abs(solver_near(film, see_lattice)(film).reflectivity - see_lattice(film).reflectivity) < 1e-9);
        }
    }
}

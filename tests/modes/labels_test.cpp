#include "tymbal/modes/labels.h"
#include "support/approx.h"

#include "modes/plain_modes.h"
#include "support/films.h"
#include "tymbal/modes/find_modes.h"

#include <doctest/doctest.h>

#include <algorithm>
#include <cmath>
#include <string>

using namespace tymbal;

namespace {

std::vector<std::string> labels(const Outline& outline, double tension, double bending, int count) {
    std::vector<std::string> out;
    for (const Mode& mode : find_modes({outline, simple::film(tension, bending), count, 1e-3}).modes)
        out.push_back(mode.label);
    return out;
}

}  // namespace

TEST_SUITE("unit") {
    TEST_CASE("zeros of Bessel functions: Abramowitz and Stegun, table 9.5") {
        CHECK(bessel_zero(0, 1) == sample::Approx(2.4048255577).epsilon(1e-10));
        CHECK(bessel_zero(1, 1) == sample::Approx(3.8317059702).epsilon(1e-10));
        CHECK(bessel_zero(2, 1) == sample::Approx(5.1356223018).epsilon(1e-10));
        CHECK(bessel_zero(0, 2) == sample::Approx(5.5200781103).epsilon(1e-10));
        CHECK(bessel_zero(8, 3) == sample::Approx(19.5545364310).epsilon(1e-9));
    }

    TEST_CASE("the modes of a disc are their own plain modes and no other's, on one thread and on two") {
        // J_d(z r) cos(d phi), z the zeros of J_d: orthogonal on the disc (Abramowitz and Stegun, 11.4.5, from memory).
        const Grid grid = make_grid(boundary(simple::disc(2)), 160, 160);
        struct Wave {
            int d, c;
            const char* label;
        };
        const std::vector<Wave> waves{{0, 2, "(0,2)"}, {1, 1, "(1,1)"}, {4, 1, "(4,1)"}};
        Eigen::MatrixXd shapes(static_cast<Eigen::Index>(grid.nodes.size()), 3);
        for (std::size_t k = 0; k < waves.size(); ++k)
            for (std::size_t n = 0; n < grid.nodes.size(); ++n) {
                const Point p = grid.place(grid.nodes[n]);
                const int d = waves[k].d;
                shapes(static_cast<Eigen::Index>(n), static_cast<Eigen::Index>(k)) =
                    std::cyl_bessel_j(d, bessel_zero(d, waves[k].c) * std::hypot(p.x, p.y)) *
                    std::cos(d * std::atan2(p.y, p.x));
            }
        const Vector mass = Vector::Ones(shapes.rows());
        const PlainParts one = plain_parts(simple::disc(2), grid, mass, shapes, 1);
        for (std::size_t k = 0; k < waves.size(); ++k) {
            const auto column = static_cast<Eigen::Index>(k);
            Eigen::Index largest = 0;
            const double size = shapes.col(column).norm();
            const Vector shares = (one.coefficients.col(column) / size).cwiseAbs2();
            CHECK(shares.maxCoeff(&largest) == sample::Approx(1.0).epsilon(1e-5));
            CHECK(one.labels[static_cast<std::size_t>(largest)] == waves[k].label);
            CHECK(shares.sum() - shares[largest] < 1e-4);
        }
        CHECK(one.coefficients == plain_parts(simple::disc(2), grid, mass, shapes, 2).coefficients);
    }

    TEST_CASE("a rectangle's modes count half-waves along x and y") {
        // Membrane 1.3 x 1: m^2/1.69 + n^2 rises as (1,1) 1.59, (2,1) 3.37, (1,2) 4.59, (3,1) 6.33, (2,2) 6.37.
        const std::vector<std::string> expected{"(1,1)", "(2,1)", "(1,2)", "(3,1)", "(2,2)"};
        CHECK(labels(simple::rectangle(1.3, 1), 1, 1e-10, 5) == expected);
    }

    TEST_CASE("degenerate modes of a square are turned into plain ones") {
        const auto found = labels(simple::rectangle(1, 1), 1, 1e-10, 4);
        CHECK(found[0] == "(1,1)");
        CHECK(std::is_permutation(found.begin() + 1, found.begin() + 3,
                                  std::vector<std::string>{"(1,2)", "(2,1)"}.begin()));
        CHECK(found[3] == "(2,2)");
    }

    TEST_CASE("a square plate mixes (1,3) and (3,1), the difference below the sum") {
        // Leissa, J. Sound Vib. 31, 257 (1973): 131.64 with diagonal node lines, 132.25 with a closed one (from
        // memory).
        const auto found = labels(simple::rectangle(1, 1), 0, 1, 6);
        CHECK(found[4] == "(1,3)-(3,1)");
        CHECK(found[5] == "(1,3)+(3,1)");
    }

    TEST_CASE("a disc's modes count nodal diameters and circles, in the order of the Bessel zeros") {
        const std::vector<std::string> expected{"(0,1)", "(1,1)", "(1,1)", "(2,1)", "(2,1)", "(0,2)"};
        CHECK(labels(simple::disc(1), 1, 1e-10, 6) == expected);
    }

    TEST_CASE("a ring's modes count nodal diameters and half-waves between the rims") {
        const std::vector<std::string> expected{"#1 d=0 c=1", "#2 d=1 c=1", "#3 d=1 c=1", "#4 d=2 c=1", "#5 d=2 c=1"};
        CHECK(labels(simple::ring(1, 0.4), 1, 1e-10, 5) == expected);
    }

    TEST_CASE("polygons get the mirror symmetries they have") {
        // A symmetric trapezium: mirror in x alone.
        const auto found = labels(Polygon{{{0, 0}, {2, 0}, {1.5, 1}, {0.5, 1}}}, 1, 1e-10, 2);
        CHECK(found[0].find("#1 x+") == 0);
        CHECK(found[1].find("#2 x-") == 0);
    }
}

// The forms against solutions known from elsewhere, on films whose tension is even.
#include "spline/modes.h"

#include "tymbal/geometry/boundary.h"

#include "support/approx.h"

#include <doctest/doctest.h>

#include <cmath>
#include <string>
#include <vector>

using namespace tymbal;
using namespace tymbal::spline;

namespace {

struct Found {
    std::vector<double> omega, bending_share;
    int unknowns = 0;
};

/// Modes in the deposited tension, whatever edges are free.
Found modes_of(const Boundary& rim, const std::vector<Figure>& openings, double h, const Sheet& sheet, int count,
               HeldSides held = HeldSides::all) {
    const Region region = film_region(rim, openings, h, held);
    const Cells cells = cut_cells(region, frame_of(region, h));
    const Space space = make_space(cells);
    const Plate p = plate(cells, space, Plane{sheet, {}});
    const Eigenpairs pairs = nearest_modes(p, space, count, 0.0);
    Found out;
    out.unknowns = space.size;
    for (Eigen::Index k = 0; k < count; ++k) {
        const Vector v = pairs.vectors.col(k);
        out.omega.push_back(std::sqrt(pairs.values[k]));
        out.bending_share.push_back(v.dot(p.bending.selfadjointView<Eigen::Lower>() * v) / pairs.values[k]);
    }
    return out;
}

Sheet sheet_of(double bending, double tension, double poisson = 0.23) {
    return {1.0, poisson, bending, 1.0, tension};
}

const Boundary unit_square = rectangle_figure({0.5, 0.5}, {1.0, 1.0}, 0.0, 0.0);

double relative(double is, double exact) {
    return std::abs(is / exact - 1.0);
}

}  // namespace

TEST_SUITE("reference") {
    // Eigenvalues of annuli, outer rim r = 1 clamped, inner rim r = b free, even tension: zeros of determinants of
    // Bessel functions, 10 digits, worked out for this project with multiple-precision arithmetic (the free condition
    // includes the tension's pull).
    TEST_CASE("annuli clamped outside and free inside, from the plate to the drum") {
        const Boundary disc = circle_figure({0.0, 0.0}, 2.0);
        struct Case {
            double inner, poisson, tension;
            std::vector<double> omega, share;
        };
        for (const Case& c : {Case{0.5, 0.3, 0.0, {17.71451434, 22.01457502, 22.01457502, 32.11553446}, {1, 1, 1, 1}},
                              Case{0.3,
                                   0.23,
                                   1e3,
                                   {92.15143085, 114.15851928, 114.15851928, 159.75842090},
                                   {.0494245, .0494223, .0494223, .0559767}},
                              Case{0.3,
                                   0.23,
                                   1e5,
                                   {884.49711268, 1099.51121067, 1099.51121067, 1536.40331199},
                                   {.0041444, .0033915, .0033915, .0030443}}}) {
            CAPTURE(c.tension);
            const Found f = modes_of(disc, {circle_figure({0.0, 0.0}, 2.0 * c.inner)}, 0.05,
                                     sheet_of(1.0, c.tension, c.poisson), 4);
            for (std::size_t k = 0; k < 4; ++k) {
                CHECK(relative(f.omega[k], c.omega[k]) < (c.tension == 0.0 ? 3e-3 : 5e-4));
                CHECK(relative(f.bending_share[k], c.share[k]) < 0.025);
            }
        }
    }

    // Square [0,1]^2 clamped, round free hole r = .2 in the middle, even tension, nu .23: finite elements of high order
    // on curved meshes, worked out for this project; digits as far as two meshes agree.
    TEST_CASE("a clamped square with a free round hole, from the plate to the drum") {
        struct Case {
            double bending, tension;
            std::vector<double> omega, share;
        };
        for (const Case& c :
             {Case{1.0, 0.0, {46.11509, 68.50793, 68.50793, 100.0878}, {1, 1, 1, 1}},
              Case{4e-4, 1.0, {5.879432, 6.854191, 6.854191, 8.694383}, {.0706022, .0686089, .0686089, .0693424}},
              Case{2.5e-5, 1.0, {5.596490, 6.550593, 6.550593, 8.331089}, {.0151171, .0129737, .0129737, .0110297}}}) {
            CAPTURE(c.bending);
            const Found f =
                modes_of(unit_square, {circle_figure({0.5, 0.5}, 0.4)}, 0.025, sheet_of(c.bending, c.tension), 4);
            for (std::size_t k = 0; k < 4; ++k) {
                // Without tension quadratic splines err by the square of the spacing: 4 h^2 here.
                CHECK(relative(f.omega[k], c.omega[k]) < (c.tension == 0.0 ? 4.0 * 0.025 * 0.025 : 2e-4));
                CHECK(relative(f.bending_share[k], c.share[k]) < 5e-3);
            }
        }
    }

    // Plate clamped along x = 0 and 1, free along y, square, nu .3, no
    // tension: 22.166085, 26.403326, 43.591491, 61.171352 (finite elements of high order, change below 2e-6, worked out
    // for this project; Leissa, J. Sound Vib. 31, 257 (1973), prints upper bounds near them, from memory). Twisting
    // modes live on the Gaussian term alone.
    TEST_CASE("a plate with two free sides twists") {
        const Found f = modes_of(unit_square, {}, 0.02, sheet_of(1.0, 0.0, 0.3), 4, HeldSides::left_and_right);
        const std::vector<double> exact{22.166085, 26.403326, 43.591491, 61.171352};
        for (std::size_t k = 0; k < 4; ++k) CHECK(relative(f.omega[k], exact[k]) < 2e-3);
    }

    // omega a^2 sqrt(m/D) = 35.985, 73.394 (x2), 108.22: clamped square plate (Leissa, NASA SP-160, table 4.25, from
    // memory).
    TEST_CASE("a clamped square plate turned against the grid keeps its frequencies") {
        for (const double turn : {0.0, 0.35}) {
            CAPTURE(turn);
            const Found f =
                modes_of(rectangle_figure({0.0, 0.0}, {1.0, 1.0}, 0.0, turn), {}, 0.03, sheet_of(1.0, 0.0), 4);
            const std::vector<double> exact{35.985, 73.394, 73.394, 108.22};
            for (std::size_t k = 0; k < 4; ++k) CHECK(relative(f.omega[k], exact[k]) < 4e-3);
        }
    }
}

TEST_SUITE("convergence") {
    TEST_CASE("frequencies of a smooth film in tension converge with order 3.5 or more") {
        // Rim on grid lines with its layer far below the grid, free round hole.
        const auto at = [](double h) {
            return modes_of(unit_square, {circle_figure({0.5, 0.5}, 0.4)}, h, sheet_of(1e-9, 1.0), 1).omega[0];
        };
        const double coarse = at(0.1), middle = at(0.05), fine = at(0.025);
        const double order = std::log2((coarse - middle) / (middle - fine));
        CAPTURE(order);
        CHECK(order > 3.5);
    }
}

TEST_SUITE("invariant") {
    TEST_CASE("the stiffness is of first degree in tension and bending together") {
        const Found one = modes_of(unit_square, {circle_figure({0.5, 0.5}, 0.3)}, 0.06, sheet_of(4e-4, 1.0), 3);
        const Found seven = modes_of(unit_square, {circle_figure({0.5, 0.5}, 0.3)}, 0.06, sheet_of(28e-4, 7.0), 3);
        for (std::size_t k = 0; k < 3; ++k) {
            CHECK(relative(seven.omega[k], std::sqrt(7.0) * one.omega[k]) < 1e-10);
        }
        // Shapes are settled to 1e-8 (modes.cpp), and so are figures that are linear in what they lack; a pair may
        // turn.
        const auto of_pair = [](const Found& f) { return f.bending_share[1] + f.bending_share[2]; };
        CHECK(relative(seven.bending_share[0], one.bending_share[0]) < 1e-8);
        CHECK(relative(of_pair(seven), of_pair(one)) < 1e-8);
    }

    TEST_CASE("the bending share is the logarithmic derivative of omega squared by the bending stiffness") {
        for (const double turn : {0.0, 0.3}) {
            CAPTURE(turn);
            const Boundary rim = rectangle_figure({0.0, 0.0}, {1.0, 1.0}, 0.0, turn);
            const auto at = [&](double factor) { return modes_of(rim, {}, 0.06, sheet_of(4e-4 * factor, 1.0), 1); };
            const double quotient = std::log(at(1.01).omega[0] / at(0.99).omega[0]) / std::log(1.01 / 0.99) * 2.0;
            CHECK(relative(at(1.0).bending_share[0], quotient) < 1e-3);
        }
    }
}

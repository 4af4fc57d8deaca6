// Films that relax: stress, modes and their stated errors.
#include "spline/film_modes.h"

#include "tymbal/base/constants.h"
#include "tymbal/base/error.h"
#include "tymbal/geometry/boundary.h"
#include "tymbal/geometry/front.h"

#include "support/approx.h"

#include <doctest/doctest.h>

#include <cmath>

using namespace tymbal;
using namespace tymbal::spline;

namespace {

constexpr double modulus = 250e9, density = 3100.0;

Sheet film(double thickness, double stress, double poisson = 0.23) {
    return {modulus * thickness, poisson, modulus * std::pow(thickness, 3) / (12.0 * (1.0 - poisson * poisson)),
            density * thickness, stress * thickness};
}

double hertz(const FilmMode& m) {
    return std::sqrt(m.square.value) / (2.0 * constants::pi);
}

FilmProblem problem(Boundary rim, std::vector<Figure> openings, const Sheet& sheet, double narrowest, int count) {
    FilmProblem p;
    p.rim = std::move(rim);
    p.openings = std::move(openings);
    p.sheet = sheet;
    p.narrowest = narrowest;
    p.count = count;
    return p;
}

/// Four tethers along the diagonals' axes of a window, a pad with straight flanks between: |x| + |y| < pad.
FilmProblem tethered_pad(double window, double pad, double tether, const Sheet& sheet) {
    FilmProblem p = problem(rectangle_figure({0.0, 0.0}, {window, window}, 0.0, 0.0), {}, sheet, tether, 6);
    for (const int sx : {-1, 1})
        for (const int sy : {-1, 1}) {
            std::vector<Point> corner{{0.5 * tether, pad},
                                      {0.5 * tether, window},
                                      {window, window},
                                      {window, 0.5 * tether},
                                      {pad, 0.5 * tether}};
            for (Point& q : corner) q = {sx * q.x, sy * q.y};
            if (polygon_area(corner) < 0.0) std::reverse(corner.begin(), corner.end());
            p.openings.push_back(polygon_figure(corner));
        }
    return p;
}

}  // namespace

TEST_SUITE("reference") {
    TEST_CASE("a string rings and twists as the closed forms say") {
        constexpr double length = 1e-3, width = 4e-6, thickness = 100e-9, stress = 1e9, poisson = 0.23;
        FilmProblem p =
            problem(rectangle_figure({0.0, 0.0}, {length, width}, 0.0, 0.0), {}, film(thickness, stress), width, 4);
        p.held = HeldSides::left_and_right;
        const FilmModes found = film_modes(p);
        // Away from its ends a string keeps s (1 - nu) along it.
        const double axial = stress * (1.0 - poisson);
        const double e = std::sqrt(modulus * thickness * thickness / (12.0 * axial)) / length;
        const double speed = std::sqrt(axial / density);
        // Clamped string with bending (Fletcher and Rossing, The Physics of Musical Instruments, ch. 2, from memory,
        // re-derived): f_n = (n c/2L)[1 + 2e + (4 + n^2 pi^2/2) e^2], R_b = 2e + n^2 pi^2 e^2. The ends' own stress,
        // which the closed form leaves out, is a width long: some 1e-3.
        const double pi2 = constants::pi * constants::pi;
        CHECK(hertz(found.modes[0]) ==
              sample::Approx(speed / (2.0 * length) * (1.0 + 2.0 * e + (4.0 + 0.5 * pi2) * e * e)).epsilon(1e-3));
        CHECK(found.modes[0].bending_share.value == sample::Approx(2.0 * e + pi2 * e * e).epsilon(0.04));
        // Twisting of a narrow ribbon: f_1 = sqrt((sigma + 4 G h^2/b^2)/rho)/2L, R_b = g/(1 + g), g = 4 G h^2/(sigma
        // b^2) [de Saint-Venant's torsion of a thin strip under tension, re-derived].
        const double g = 4.0 * (0.5 * modulus / (1.0 + poisson)) * std::pow(thickness / width, 2) / axial;
        CHECK(hertz(found.modes[1]) == sample::Approx(speed * std::sqrt(1.0 + g) / (2.0 * length)).epsilon(2e-3));
        CHECK(found.modes[1].bending_share.value == sample::Approx(g / (1.0 + g)).epsilon(0.01));
    }

    TEST_CASE("the mean tension of a ring of film round an open middle is Lame's") {
        // Clamped at a, free at b = .7 a, equal-biaxial deposit s: u = A r + B/r with u(a) = 0 and sigma_r(b) = 0; the
        // mean of (s_r + s_t)/2 is s/(1 + (1 + nu) b^2/((1 - nu) a^2)) (Timoshenko and Goodier, Theory of Elasticity,
        // ch. 4, from memory, re-derived).
        constexpr double poisson = 0.25, ratio = 0.7;
        const FilmModes found =
            film_modes(problem(circle_figure({0.0, 0.0}, 200e-6), {circle_figure({0.0, 0.0}, ratio * 200e-6)},
                               film(50e-9, 1e9, poisson), 30e-6, 2));
        const double exact = 1.0 / (1.0 + (1.0 + poisson) / (1.0 - poisson) * ratio * ratio);
        const double is = found.mean_tension.value / (1e9 * 50e-9);
        CHECK(is == sample::Approx(exact).epsilon(2e-3));
        CHECK(std::abs(is - exact) < std::max(found.mean_tension.error / 50.0, 1e-3));
    }

    TEST_CASE("the peak at a round hole is Lame's, and its stated error covers on coarse and fine grids") {
        // Disc a, hole b in its middle, as above: s_t(b) = 2 s/(1 + (1 + nu) b^2/((1 - nu) a^2)).
        constexpr double poisson = 0.23;
        const double exact = 2.0 / (1.0 + (1.0 + poisson) / (1.0 - poisson) * 0.01);
        for (const double narrowest : {4e-6, 1e-6}) {
            CAPTURE(narrowest);
            const FilmModes found = film_modes(problem(
                circle_figure({0.0, 0.0}, 40e-6), {circle_figure({0.0, 0.0}, 4e-6)}, film(100e-9, 1e9), narrowest, 1));
            CHECK(found.peak.value / 100.0 == sample::Approx(exact).epsilon(narrowest > 2e-6 ? 0.12 : 0.015));
            CHECK(std::abs(found.peak.value / 100.0 - exact) < found.peak.error / 100.0);
        }
    }

    // Dilution of etch fronts by a plate solution of another kind (finite elements of high order on triangles, worked
    // out for this project): square lattice 9 x 9, pitch 10 um, holes 4 um, 100 nm, 1 GPa, nu .25, lowest mode.
    TEST_CASE("the stated error of an etch front's dilution covers the truth") {
        struct Case {
            double undercut, dilution;
        };
        for (const Case& c : {Case{5.8e-6, 73.7}, Case{6.6e-6, 77.2}}) {
            CAPTURE(c.undercut);
            PlacedHoles holes;
            holes.shape = HoleShape::circle;
            holes.size = 4e-6;
            for (int i = -4; i <= 4; ++i)
                for (int j = -4; j <= 4; ++j) holes.centres.push_back({i * 10e-6, j * 10e-6});
            const FilmModes found =
                film_modes(problem(front(holes, c.undercut), figures(holes), film(100e-9, 1e9, 0.25), 4e-6, 1));
            const Bounded share = found.modes[0].bending_share;
            CHECK(share.value == sample::Approx(1.0 / c.dilution).epsilon(0.06));
            CHECK(std::abs(share.value - 1.0 / c.dilution) < share.error);
            CHECK(share.error < 0.3 * share.value);
        }
    }
}

TEST_SUITE("invariant") {
    TEST_CASE("a holed film turned against the grid keeps its modes within the stated errors") {
        const auto at = [](double turn) {
            return film_modes(problem(rectangle_figure({0.0, 0.0}, {100e-6, 80e-6}, 0.0, turn),
                                      {circle_figure({0.0, 0.0}, 30e-6)}, film(100e-9, 1e9), 20e-6, 3));
        };
        const FilmModes flat = at(0.0), turned = at(0.4);
        for (std::size_t k = 0; k < 3; ++k) {
            CHECK(std::abs(flat.modes[k].square.value - turned.modes[k].square.value) <
                  flat.modes[k].square.error + turned.modes[k].square.error);
            CHECK(std::abs(flat.modes[k].bending_share.value - turned.modes[k].bending_share.value) <
                  flat.modes[k].bending_share.error + turned.modes[k].bending_share.error);
        }
    }

    TEST_CASE("a pad on long thin tethers in a wide window costs what its film costs") {
        const FilmProblem p = tethered_pad(1e-3, 50e-6, 4e-6, film(100e-9, 1e9));
        const FilmModes found = film_modes(p);
        CHECK(found.unknowns < 100'000);
        // f = sqrt(4 s b h/(L (m_pad + m_tethers/3)))/2 pi, s the tethers' relaxed stress, all but (1 - nu) of the
        // deposited where the pad yields little: within a tenth.
        const double length = 0.5e-3 - 50e-6, tether_mass = density * 100e-9 * 4e-6 * length * 4.0;
        const double pad_mass = density * 100e-9 * 2.0 * 50e-6 * 50e-6;
        const double rough =
            std::sqrt(4.0 * 0.77e9 * 4e-6 * 100e-9 / (length * (pad_mass + tether_mass / 3.0))) / (2.0 * constants::pi);
        CHECK(hertz(found.modes[0]) == sample::Approx(rough).epsilon(0.1));
    }
}

TEST_SUITE("unit") {
    TEST_CASE("a film that its own relaxation compresses is refused with the place") {
        // Square pad on thin tethers: its corners are compressed far beyond what so thin a plate carries.
        FilmProblem p =
            problem(rectangle_figure({0.0, 0.0}, {600e-6, 600e-6}, 0.0, 0.0), {}, film(50e-9, 1e9), 4e-6, 2);
        for (const int sx : {-1, 1})
            for (const int sy : {-1, 1}) {
                std::vector<Point> corner{{2e-6, 50e-6},  {2e-6, 400e-6}, {400e-6, 400e-6},
                                          {400e-6, 2e-6}, {50e-6, 2e-6},  {50e-6, 50e-6}};
                for (Point& q : corner) q = {sx * q.x, sy * q.y};
                if (polygon_area(corner) < 0.0) std::reverse(corner.begin(), corner.end());
                p.openings.push_back(polygon_figure(corner));
            }
        CHECK_THROWS_WITH_AS((void)film_modes(p), doctest::Contains("the flat film is not stable"), NoAnswer);
    }
}

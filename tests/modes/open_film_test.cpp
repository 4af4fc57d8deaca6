// The resolved model against solutions that know nothing of it: a disc with a free hole as an equation of the radius
// alone, a tether as a string, the averaged model where both apply.
#include "holed_disc.h"
#include "support/approx.h"
#include "support/films.h"

#include "tymbal/base/constants.h"
#include "tymbal/base/error.h"
#include "tymbal/film/unit_cell.h"
#include "tymbal/modes/buckling.h"
#include "tymbal/modes/find_modes.h"

#include <doctest/doctest.h>

#include <algorithm>
#include <array>
#include <atomic>
#include <cmath>
#include <random>
#include <vector>

using namespace tymbal;

namespace {

constexpr double pi = constants::pi;

ModeProblem problem_of(const HoledDisc& disc, int count) {
    ModeProblem problem{simple::disc(2.0 * disc.R), disc.film, count};
    problem.film.openings = {circle_figure({0.0, 0.0}, 2.0 * disc.a)};
    problem.film.narrowest = 2.0 * disc.a;
    return problem;
}

double mean_stress(const Level& level, const HoledDisc& disc) {
    const std::vector<double> inside = covered(boundary(simple::disc(2.0 * disc.R)), level.grid);
    double sum = 0.0;
    for (std::size_t c = 0; c < inside.size(); ++c)
        sum += inside[c] * 0.5 * (level.tension.tension[c][0] + level.tension.tension[c][1]);
    return sum * level.grid.dx * level.grid.dy / (pi * (disc.R * disc.R - disc.a * disc.a) * disc.film.thickness);
}

/// Slope of ln(error) over ln(spacing) by least squares: single grids scatter where holes cut them.
double fitted_order(const std::vector<int>& cells, const std::vector<double>& errors) {
    double sx = 0.0, sy = 0.0, sxx = 0.0, sxy = 0.0;
    const double n = static_cast<double>(cells.size());
    for (std::size_t k = 0; k < cells.size(); ++k) {
        const double x = -std::log(cells[k]), y = std::log(std::abs(errors[k]));
        sx += x, sy += y, sxx += x * x, sxy += x * y;
    }
    return (n * sxy - sx * sy) / (n * sxx - sx * sx);
}

}  // namespace

TEST_SUITE("convergence") {
    TEST_CASE("disc with a free hole: frequency, relaxed stress and curvature are of second order") {
        const HoledDisc disc;
        const Radial exact = radial_mode(disc, 2);  // nodes clear of cancellation between rim and hole
        const std::vector<int> cells{28, 40, 56, 80, 112};
        std::vector<double> frequency, stress, curvature;
        for (const int n : cells) {
            const Level level = solve_level(problem_of(disc, 6), n, n, RimTreatment::thin_layer);
            const double pair = 0.5 * (std::sqrt(level.values[3]) + std::sqrt(level.values[4])) / (2.0 * pi);
            frequency.push_back(pair / exact.frequency - 1.0);
            stress.push_back(mean_stress(level, disc) / disc.mean_stress() - 1.0);
            curvature.push_back(level.interior[3] / exact.curvature - 1.0);
        }
        CHECK(fitted_order(cells, frequency) > 1.8);
        CHECK(fitted_order(cells, stress) > 1.8);
        CHECK(fitted_order(cells, curvature) > 1.8);
        CHECK(std::abs(frequency.back()) < 5e-4);
        CHECK(std::abs(stress.back()) < 5e-4);
        CHECK(std::abs(curvature.back()) < 0.01);
    }
}

TEST_SUITE("unit") {
    TEST_CASE("a film with openings says what it will hold, refuses more than it may, and stops when asked") {
        ModeProblem problem = problem_of({}, 2);
        std::vector<std::size_t> announced;
        problem.effort.announce = [&](std::size_t bytes) { announced.push_back(bytes); };
        (void)find_modes(problem);
        REQUIRE(announced.size() == 1);
        problem.effort.memory_limit = announced[0] - 1;
        CHECK_THROWS_AS((void)find_modes(problem), NoAnswer);
        problem.effort.memory_limit = announced[0];
        CHECK_NOTHROW((void)find_modes(problem));
        const std::atomic<bool> stop = true;
        problem.effort.stop = &stop;
        CHECK_THROWS_WITH_AS((void)find_modes(problem), "the solution was stopped", NoAnswer);
    }
}

TEST_SUITE("invariant") {
    TEST_CASE("tabs beside a strip wrinkle where they are thin, and hang flat where they are thick") {
        // A strip of 8 um between slots with a square tab of 12 um on either side: tension passes the tabs by, and what
        // spreads into them compresses their roots.
        ModeProblem problem{simple::rectangle(200e-6, 40e-6), simple::nitride(50e-9, 1e9), 2};
        std::vector<Point> above{{-110e-6, 4e-6}, {-6e-6, 4e-6},  {-6e-6, 16e-6},  {6e-6, 16e-6},
                                 {6e-6, 4e-6},    {110e-6, 4e-6}, {110e-6, 25e-6}, {-110e-6, 25e-6}};
        std::vector<Point> below(above.rbegin(), above.rend());
        for (Point& p : below) p.y = -p.y;
        problem.film.openings = {polygon_figure(above), polygon_figure(below)};
        problem.film.narrowest = 8e-6;
        CHECK_THROWS_WITH_AS((void)find_modes(problem), doctest::Contains("the flat film is not stable"), UnstableFilm);
        // Stability hangs on D/N alone, and D goes as the thickness cubed, N as thickness and stress: what is just
        // stable at 50 nm must be so at 55 nm with 1.21 times the stress.
        const CriticalStress limit = buckling_stress(problem);
        CHECK(limit.pascal > 0.0);
        CHECK(limit.pascal < problem.film.stress);
        CHECK(limit.error < 0.2 * limit.pascal);
        problem.film.stress = 0.7 * limit.pascal;
        CHECK_NOTHROW((void)find_modes(problem));
        problem.film.stress = 1.3 * limit.pascal;
        CHECK_THROWS_AS((void)find_modes(problem), UnstableFilm);
        problem.film.stress = 1e9;
        problem.film.thickness = 55e-9;
        CHECK(buckling_stress(problem).pascal == sample::Approx(1.21 * limit.pascal).epsilon(1e-3));
        problem.film.thickness = 1e-6;
        const ModeSet set = find_modes(problem);
        // The tabs weigh twice their strip: between the string with all of their mass in the middle and the string
        // without them, stiffened by its clamped ends' layers.
        const double string = std::sqrt(1e9 * (1.0 - problem.film.poisson_ratio) / problem.film.density) / 400e-6;
        const double layer = std::sqrt(problem.film.bending() / (1e9 * (1.0 - problem.film.poisson_ratio) * 1e-6));
        CHECK(set.modes[0].frequency_hz < string * (1.0 + 3.0 * layer / 200e-6));
        CHECK(set.modes[0].frequency_hz > string / std::sqrt(1.0 + 2.0 * 24.0 * 12.0 / (200.0 * 8.0)));
    }
}

TEST_SUITE("invariant") {
    TEST_CASE("openings that leave flaps and slivers of a cell keep the film stable on its grid") {
        // Random openings over each other: without raising what rounding compresses there, these films have modes
        // without a frequency.
        for (unsigned seed = 0; seed < 8; ++seed) {
            std::mt19937 draw(seed);
            const auto share = [&draw] { return static_cast<double>(draw()) / 4294967296.0; };
            ModeProblem problem{simple::rectangle(100e-6, 90e-6), simple::nitride(50e-9, 1e9), 2};
            for (int k = 0; k < 12; ++k) {
                const double x = (share() - 0.5) * 90e-6, y = (share() - 0.5) * 80e-6;
                problem.film.openings.push_back(circle_figure({x, y}, (2.0 + 18.0 * share()) * 1e-6));
            }
            const Level level = solve_level(problem, 60, 54, RimTreatment::thin_layer);
            CHECK(level.values[0] > 0.0);
            CHECK(level.values[1] >= level.values[0]);
        }
    }
}

TEST_SUITE("reference") {
    TEST_CASE("disc with a free hole: reported errors cover the radial solution") {
        struct Case {
            double hole, thickness;
        };
        for (const Case& c : {Case{30e-6, 50e-9}, Case{30e-6, 400e-9}, Case{70e-6, 20e-9}, Case{10e-6, 200e-9}}) {
            HoledDisc disc;
            disc.a = c.hole;
            disc.film.thickness = c.thickness;
            CAPTURE(c.hole);
            CAPTURE(c.thickness);
            const ModeSet set = find_modes(problem_of(disc, 3));
            for (std::size_t k = 0; k < 3; ++k) {
                const int d = k == 0 ? 0 : 1;
                CAPTURE(d);
                const RadialPlate exact = radial_plate(disc, d);
                const Mode& mode = set.modes[k];
                const ModeIntegrals& i = mode.integrals;
                CHECK(std::abs(mode.frequency_hz - exact.frequency) < mode.discretisation_error_hz);
                CHECK(mode.discretisation_error_hz < 3e-3 * mode.frequency_hz);
                CHECK(i.bending_low < exact.bending_share * i.stiffness);
                CHECK(i.bending_high > exact.bending_share * i.stiffness);
                CHECK(i.bending_high < 1.4 * i.bending_low);
            }
            CHECK(std::abs(set.cut_stress->mean - disc.mean_stress()) < set.cut_stress->mean_error);
            CHECK(std::abs(set.cut_stress->sag - radial_plate(disc, 0).sag) < set.cut_stress->sag_error);
            CHECK(set.cut_stress->sag_error < 1e-2 * set.cut_stress->sag);
            // Tangential stress at the hole's edge (Lame; twice the far stress for a small hole, Kirsch).
            const StressPeak& peak = set.cut_stress->peak;
            CHECK(std::abs(peak.von_mises - disc.stress(disc.a, -1.0)) < set.cut_stress->peak_error);
            CHECK(set.cut_stress->peak_error < 0.15 * peak.von_mises);
            CHECK(std::hypot(peak.at.x, peak.at.y) == sample::Approx(disc.a).epsilon(0.02));
        }
    }

    TEST_CASE("the radial plate without bending is the radial membrane") {
        HoledDisc disc;
        disc.film.thickness = 1e-9;
        for (const int d : {0, 1, 2})
            CHECK(radial_plate(disc, d).frequency == sample::Approx(radial_mode(disc, d).frequency).epsilon(2e-4));
    }

    TEST_CASE("a tether between two slots rings as a string under uniaxial stress") {
        // f = sqrt(sigma (1 - nu)/rho)/(2 L): a film let go at its long sides keeps sigma (1 - nu) along them.
        const double length = 200e-6, width = 8e-6;
        ModeProblem problem{simple::rectangle(length, 60e-6), simple::nitride(50e-9, 1e9), 1};
        for (const double s : {-1.0, 1.0})
            problem.film.openings.push_back(
                rectangle_figure({0.0, s * (0.5 * width + 20e-6)}, {length + 20e-6, 40e-6}, 0.0, 0.0));
        problem.film.narrowest = width;
        const ModeSet set = find_modes(problem);
        const double along = 1e9 * (1.0 - problem.film.poisson_ratio);
        const double string = std::sqrt(along / problem.film.density) / (2.0 * length);
        // Ends held across stiffen a strip of this width by about width/length times a few tenths; layer at the ends.
        CHECK(set.modes[0].frequency_hz == sample::Approx(string).epsilon(0.03));
        CHECK(set.modes[0].frequency_hz > string);
    }
}

TEST_SUITE("slow") {
    TEST_CASE("a lattice of holes: averaged and resolved agree within what both say of their errors") {
        // 10 x 10 holes; the averaged model is meant for long waves, its own corrections are of order (pitch/wave)^2.
        const double pitch = 10e-6, hole = 5e-6, side = 110e-6;
        const PaintedFilm solid = simple::nitride(50e-9, 1e9);
        ModeProblem averaged{simple::rectangle(side, side), solid, 3}, resolved = averaged;
        averaged.film.cell = solve_cell({Lattice::square, HoleShape::circle, hole / pitch, solid.poisson_ratio,
                                         std::sqrt(solid.bending() / (solid.stress * solid.thickness)) / pitch, 1e-3});
        for (int j = 0; j < 10; ++j) {
            for (int i = 0; i < 10; ++i) {
                const Point c{(i - 4.5) * pitch, (j - 4.5) * pitch};
                const double h = 0.5 * pitch;
                averaged.film.field.push_back(
                    {{c.x - h, c.y - h}, {c.x + h, c.y - h}, {c.x + h, c.y + h}, {c.x - h, c.y + h}});
                resolved.film.openings.push_back(circle_figure(c, hole));
            }
        }
        resolved.film.narrowest = hole;
        const ModeSet a = find_modes(averaged), r = find_modes(resolved);
        for (std::size_t k = 0; k < 3; ++k) {
            CAPTURE(k);
            const Mode &x = a.modes[k], &y = r.modes[k];
            const double wave = 2.0 * side / (k == 0 ? 1.0 : 2.0);
            const double averaging = std::pow(pitch / wave, 2);
            CHECK(std::abs(x.frequency_hz - y.frequency_hz) <
                  x.discretisation_error_hz + y.discretisation_error_hz + averaging * y.frequency_hz);
            // Curvature round the holes: both are estimates, a tenth apart at most.
            CHECK(x.integrals.bending_interior / x.integrals.stiffness ==
                  sample::Approx(y.integrals.bending_interior / y.integrals.stiffness).epsilon(0.15));
        }
    }
}

TEST_SUITE("slow") {
    TEST_CASE("a joined pad in a lattice of pads and bridges is clamped softly: its mode keeps clear of the rim") {
        // The holes of examples/quiet-pad.toml: a honeycomb without the six round its middle.
        constexpr double pitch = 50e-6, diameter = 44e-6, width = 590e-6, height = 530e-6, margin = 6e-6;
        const double a = pitch * std::sqrt(3.0);
        ModeProblem problem{simple::rectangle(width, height), simple::nitride(50e-9, 1e9), 48};
        for (int i = -20; i <= 20; ++i)
            for (int j = -10; j <= 10; ++j)
                for (const double side : {-1.0, 1.0}) {
                    const Point p{a * (i + 0.5 * j), 1.5 * pitch * j + side * pitch};
                    if (std::abs(p.x) + 0.5 * diameter + margin > 0.5 * width ||
                        std::abs(p.y) + 0.5 * diameter + margin > 0.5 * height || std::hypot(p.x, p.y) < 1.05 * pitch)
                        continue;
                    problem.film.openings.push_back(circle_figure(p, diameter));
                }
        REQUIRE(problem.film.openings.size() == 72);
        problem.film.narrowest = pitch - diameter;
        problem.effort.threads = 2;
        const Level level = solve_level(problem, 295, 265, RimTreatment::thin_layer);
        // The plain square with a fundamental of that frequency has 1/(2 lambda (1 + pi^2 lambda/2)) at most (Yu, Purdy
        // and Regal, Phys. Rev. Lett. 108, 083603 (2012), from memory), lambda the clamped layer over its side.
        const double wave = std::sqrt(problem.film.stress / problem.film.density);
        const auto square = [&](double omega2) {
            const double side = std::sqrt(2.0) * pi * wave / std::sqrt(omega2);
            const double lambda =
                std::sqrt(problem.film.bending() / (problem.film.stress * problem.film.thickness)) / side;
            return 1.0 / (2.0 * lambda + pi * pi * lambda * lambda);
        };
        const auto dilution = [&](Eigen::Index k) {
            return level.values[k] / (level.interior[k] + 0.5 * level.layers[static_cast<std::size_t>(k)].energy);
        };
        CHECK(dilution(45) > 5.0 * square(level.values[45]));
        // The mode below belongs to the whole lattice: it moves at the rim, and is clamped there as hard as the square.
        CHECK(dilution(44) < 3.0 * square(level.values[44]));
        double far = 0.0;
        for (std::size_t n = 0; n < level.grid.nodes.size(); ++n) {
            const Point p = level.grid.place(level.grid.nodes[n]);
            const auto e = static_cast<Eigen::Index>(n);
            if (std::hypot(p.x, p.y) > 1.6 * a) far += level.mass[e] * level.shapes(e, 45) * level.shapes(e, 45);
        }
        CHECK(far < 0.3);  // of the mode's mass, beyond the ring of pads next to the joined one
    }
}

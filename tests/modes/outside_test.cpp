// Films that others have solved by other means: special functions, quadratic finite elements, tables of perforated
// plates.
#include "support/approx.h"
#include "support/films.h"
#include "support/places.h"

#include "tymbal/base/constants.h"
#include "tymbal/modes/find_modes.h"

#include <doctest/doctest.h>

#include <cmath>
#include <cstdlib>
#include <filesystem>
#include <fstream>
#include <sstream>
#include <string>
#include <vector>

#include <unistd.h>

using namespace tymbal;

namespace {

constexpr double pi = constants::pi;

/// So thin that bending adds nothing: what is solved is the membrane alone.
PaintedFilm thin_film() {
    return simple::nitride(1e-10, 1e9);
}

double wave_speed() {
    return std::sqrt(1e9 / 3100.0);
}

Polygon regular(int corners, double circumradius) {
    Polygon out;
    for (int k = 0; k < corners; ++k)
        out.vertices.push_back(
            {circumradius * std::cos(2.0 * pi * k / corners), circumradius * std::sin(2.0 * pi * k / corners)});
    return out;
}

/// Wave number of a mode.
double wave_number(const Mode& mode) {
    return 2.0 * pi * mode.frequency_hz / wave_speed();
}

/// holed_square.py: mean relaxed stress over deposited, then frequencies times side over wave speed.
std::vector<double> by_finite_elements(double radius, double poisson_ratio, int elements) {
    const auto result = std::filesystem::temp_directory_path() / ("tymbal-holed-square-" + std::to_string(::getpid()));
    std::ostringstream command;
    command << "/usr/bin/python3 '" + places::source_dir() + "/tests/modes/holed_square.py' " << radius << ' '
            << poisson_ratio << ' ' << elements << " > '" << result.string() << "'";
    REQUIRE_MESSAGE(std::system(command.str().c_str()) == 0,
                    "needs the Debian package python3-scipy (tests/packages.txt)");
    std::vector<double> values;
    std::ifstream in(result);
    for (double v; in >> v;) values.push_back(v);
    std::filesystem::remove(result);
    return values;
}

}  // namespace

TEST_SUITE("reference") {
    TEST_CASE("an ellipse drawn as a polygon rings at the zeros of Mathieu's functions") {
        // Half axes 1 and 1/2. Zeros of the radial functions on the rim in the wave number, even 0 to 3 and odd 1 and
        // 2: worked out with mathieu_modcem1 and mathieu_modsem1 of SciPy 1.10.1.
        const std::vector<double> zeros{3.77715586, 5.01016192, 6.33353033, 6.85176340, 7.71422171, 7.98096836};
        constexpr double turn = 2.0 * pi / 720;
        Polygon ellipse = regular(720, std::sqrt(turn / std::sin(turn)));  // the circle's area, to be flattened
        for (Point& p : ellipse.vertices) p.y *= 0.5;
        const ModeSet set = find_modes({ellipse, thin_film(), 6, 1e-3});
        for (std::size_t k = 0; k < zeros.size(); ++k) {
            const Mode& mode = set.modes[k];
            CAPTURE(k);
            CHECK(std::abs(wave_number(mode) / zeros[k] - 1.0) < mode.discretisation_error_hz / mode.frequency_hz);
            CHECK(mode.discretisation_error_hz < 1e-3 * mode.frequency_hz);
        }
    }

    TEST_CASE("polygonal drums: the equilateral triangle by Lame, the regular hexagon by its published eigenvalue") {
        // Side 1: k^2 = 16 pi^2 (m^2 + m n + n^2)/9 (Lame 1833, from memory, checked on its lowest shape): 3 and 7.
        // Hexagon of unit side: 7.1553391339 (computed to many digits by several authors; from memory).
        const double third = 1.0 / std::sqrt(3.0);
        const ModeSet triangle = find_modes({regular(3, third), thin_film(), 3, 1e-3});
        const std::vector<double> squares{16.0 * pi * pi / 3.0, 16.0 * pi * pi * 7.0 / 9.0, 16.0 * pi * pi * 7.0 / 9.0};
        for (std::size_t k = 0; k < 3; ++k) {
            const Mode& mode = triangle.modes[k];
            CAPTURE(k);
            CHECK(std::abs(wave_number(mode) / std::sqrt(squares[k]) - 1.0) <
                  mode.discretisation_error_hz / mode.frequency_hz);
        }
        const Mode hexagon = find_modes({regular(6, 1.0), thin_film(), 1, 1e-3}).modes[0];
        CHECK(std::abs(wave_number(hexagon) / std::sqrt(7.1553391339) - 1.0) <
              hexagon.discretisation_error_hz / hexagon.frequency_hz);
        CHECK(hexagon.discretisation_error_hz < 1e-3 * hexagon.frequency_hz);
    }

    TEST_CASE("a square with a round free hole: quadratic finite elements in SciPy find the same stress and modes") {
        // 12 elements a quarter are within 3e-5 (eighth mode) of 36; that falls with the fourth power.
        constexpr double radius = 0.15;
        ModeProblem problem{simple::rectangle(1.0, 1.0), thin_film(), 8};
        problem.film.openings = {circle_figure({0.0, 0.0}, 2.0 * radius)};
        problem.film.narrowest = 2.0 * radius;
        const auto theirs = by_finite_elements(radius, problem.film.poisson_ratio, 24);
        REQUIRE(theirs.size() == 9);
        const ModeSet set = find_modes(problem);
        for (std::size_t k = 0; k < 8; ++k) {
            const Mode& mode = set.modes[k];
            CAPTURE(k);
            CHECK(std::abs(mode.frequency_hz - theirs[k + 1] * wave_speed()) < mode.discretisation_error_hz);
            CHECK(mode.discretisation_error_hz < 3e-3 * mode.frequency_hz);
        }
        const double mean = theirs[0] * problem.film.stress;
        CHECK(std::abs(set.cut_stress->mean - mean) < set.cut_stress->mean_error);
        CHECK(set.cut_stress->mean_error < 1e-3 * mean);
    }

    TEST_CASE("a finite patch of holes has the constants of Slot's table") {
        // T. Slot, Stress Analysis of Thick Perforated Plates (1972), table B.2, row nu = 0, read in an open
        // reproduction: ligament efficiency 0.5: E*/E = 0.6168, nu* = 0.0814; 0.3: 0.4069, 0.0754. A film that is held
        // all round carries E*/(1 - nu*) of its tension.
        constexpr int across = 9;
        for (const auto& row : {std::array<double, 3>{0.5, 0.6168, 0.0814}, {0.3, 0.4069, 0.0754}}) {
            CAPTURE(row[0]);
            ModeProblem problem{simple::rectangle(across, across), thin_film(), 1};
            problem.film.poisson_ratio = 0.0;
            problem.film.narrowest = row[0];
            for (int j = 0; j < across; ++j)
                for (int i = 0; i < across; ++i)
                    problem.film.openings.push_back(
                        circle_figure({i - 0.5 * (across - 1), j - 0.5 * (across - 1)}, 1.0 - row[0]));
            constexpr int cells = 24;  // a pitch
            const Level level = solve_level(problem, cells * across, cells * across, RimTreatment::thin_layer);
            double sum = 0.0;  // over the middle third, away from the rim
            for (int j = 3 * cells; j < 6 * cells; ++j)
                for (int i = 3 * cells; i < 6 * cells; ++i) {
                    const auto& n = level.tension.tension[static_cast<std::size_t>(level.grid.cell(i, j))];
                    sum += 0.5 * (n[0] + n[1]);
                }
            const double share = sum / std::pow(3.0 * cells, 2) / (problem.film.stress * problem.film.thickness);
            CHECK(share == sample::Approx(row[1] / (1.0 - row[2])).epsilon(5e-3));
        }
    }
}

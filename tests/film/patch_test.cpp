// A layer over part of the film: what a cell mixes, and what is left of its tension when the film has relaxed.
#include "support/approx.h"
#include "support/films.h"
#include "tymbal/film/prestress.h"
#include "tymbal/modes/find_modes.h"

#include <doctest/doctest.h>

#include <cmath>
#include <numbers>

using namespace tymbal;

namespace {

PaintedFilm patched(std::vector<Point> area, double modulus, double stress, double density) {
    PaintedFilm film = simple::nitride(100e-9, 1e9);
    film.patches.push_back({std::move(area), 150e-9, modulus, film.poisson_ratio, stress, density});
    return film;
}

std::vector<Point> box(double x0, double y0, double x1, double y1) {
    return {{x0, y0}, {x1, y0}, {x1, y1}, {x0, y1}};
}

}  // namespace

TEST_SUITE("unit") {
    TEST_CASE("mass of a patch that cuts cells anywhere is exact, also for one that is not convex") {
        const std::vector<Point> corner{{-30e-6, -20e-6}, {25e-6, -20e-6}, {25e-6, 3e-6},
                                        {1e-6, 3e-6},     {1e-6, 31e-6},   {-30e-6, 31e-6}};
        const PaintedFilm film = patched(corner, 200e9, 1e8, 2700.0);
        const Grid grid = make_grid(boundary(simple::rectangle(100e-6, 100e-6)), 17, 23);
        const FilmMap map = paint(film, grid, FieldBending::plate);
        double mass = 0.0;
        for (const double d : map.areal_density) mass += d * grid.dx * grid.dy;
        const double bare = film.density * film.thickness;
        const double area = 55e-6 * 23e-6 + 31e-6 * 28e-6;
        CHECK(mass == sample::Approx(bare * 1e-8 + (2700.0 * 150e-9 - bare) * area).epsilon(1e-12));
    }

    TEST_CASE("a patch over all of the film leaves its own tension, nothing to relax against") {
        const PaintedFilm film = patched(box(-50e-6, -50e-6, 50e-6, 50e-6), 90e9, 3e8, 2700.0);
        const Grid grid = make_grid(boundary(simple::rectangle(100e-6, 100e-6)), 16, 16);
        const TensionField field = relax(film, grid, paint(film, grid, FieldBending::plate));
        for (std::size_t c = 0; c < field.tension.size(); ++c) {
            if (!field.known[c]) continue;
            CHECK(field.tension[c][0] == sample::Approx(3e8 * 150e-9).epsilon(1e-9));
            CHECK(std::abs(field.tension[c][2]) < 1e-9);
        }
    }
}

TEST_SUITE("reference") {
    TEST_CASE("across a stripe the tension is that of unlike springs in a row") {
        // Long strip, clamped along both sides, no strain along it: N = sum(P_i l_i/C_i)/sum(l_i/C_i), closed form.
        const double from = -13e-6, to = 18.3e-6, width = 100e-6;
        const PaintedFilm film = patched(box(from, -200e-6, to, 200e-6), 70e9, 2e8, 2700.0);
        const Grid grid = make_grid(boundary(simple::rectangle(width, 400e-6)), 22, 44);
        const TensionField field = relax(film, grid, paint(film, grid, FieldBending::plate));
        const double plane = 1.0 - film.poisson_ratio * film.poisson_ratio;
        const double c_a = film.modulus * film.thickness / plane, c_b = 70e9 * 150e-9 / plane;
        const double p_a = film.stress * film.thickness, p_b = 2e8 * 150e-9, share = (to - from) / width;
        const double exact = ((1.0 - share) * p_a / c_a + share * p_b / c_b) / ((1.0 - share) / c_a + share / c_b);
        for (const double x : {-40e-6, -20e-6, 0.0, 10e-6, 35e-6})
            CHECK(field.at({x, 1e-6})[0] == sample::Approx(exact).epsilon(2e-3));
    }

    TEST_CASE("a heavier spot lowers the frequency as Rayleigh's quotient says") {
        const double side = 200e-6, half = 20e-6, pi = std::numbers::pi;
        PaintedFilm film = simple::nitride(100e-9, 1e9);
        const double bare = find_modes({simple::rectangle(side, side), film, 1, 1e-4}).modes[0].frequency_hz;
        film.patches.push_back({box(-half, -half, half, half), film.thickness, film.modulus, film.poisson_ratio,
                                film.stress, 1.05 * film.density});
        const Mode mode = find_modes({simple::rectangle(side, side), film, 1, 1e-4}).modes[0];
        const double along = (half + side / (2.0 * pi) * std::sin(2.0 * pi * half / side)) / (0.5 * side);
        const double heavier = 0.05 * along * along;  // of int m w^2
        CHECK(mode.frequency_hz / bare - 1.0 ==
              sample::Approx(-0.5 * heavier).epsilon(0.05 + mode.discretisation_error_hz / (bare * heavier)));
    }
}

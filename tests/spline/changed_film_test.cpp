// Films a little changed: stretched, or of another sheet.
#include "spline/changed_film.h"
#include "spline/film_modes.h"

#include "tymbal/base/constants.h"
#include "tymbal/geometry/boundary.h"

#include "support/approx.h"

#include <doctest/doctest.h>

#include <algorithm>
#include <cmath>
#include <vector>

using namespace tymbal;
using namespace tymbal::spline;

namespace {

Sheet film(double thickness, double stress) {
    constexpr double modulus = 250e9, poisson = 0.23;
    return {modulus * thickness, poisson, modulus * std::pow(thickness, 3) / (12.0 * (1.0 - poisson * poisson)),
            3100.0 * thickness, stress * thickness};
}

/// A window with one free hole beside its middle, drawn `wider` along x.
FilmProblem holed(double wider) {
    constexpr int corners = 64;
    const double width = 100e-6, height = 80e-6, radius = 10e-6;
    FilmProblem p;
    p.rim = rectangle_figure({0.0, 0.0}, {wider * width, height}, 0.0, 0.0);
    std::vector<Point> hole;
    for (int k = 0; k < corners; ++k) {
        const double angle = 2.0 * constants::pi * k / corners;
        hole.push_back({wider * (0.1 * width + radius * std::cos(angle)), 0.05 * height + radius * std::sin(angle)});
    }
    p.openings = {polygon_figure(hole)};
    p.sheet = film(100e-9, 1e9);
    p.narrowest = 2.0 * radius;
    p.count = 3;
    p.accuracy = 1e-4;
    return p;
}

}  // namespace

TEST_SUITE("invariant") {
    TEST_CASE("a film that is not changed keeps its modes, and a larger one rings lower as its size") {
        const FilmModes found = film_modes(holed(1.0));
        const SolvedGrid& g = found.grid;
        const Sheet& sheet = g.plane.sheet;
        CHECK((squares_after(g, {sheet}).array() / g.values.array() - 1.0).abs().maxCoeff() < 1e-7);
        Sheet stiffer = sheet;
        stiffer.bending *= 4.0;  // the layer grows with the film
        const Vector doubled = squares_after(g, {stiffer, 2.0, 2.0});
        CHECK((4.0 * doubled.array() / g.values.array() - 1.0).abs().maxCoeff() < 1e-7);
    }
    TEST_CASE("what stretching one way does is what a film drawn that way does") {
        constexpr double step = 0.02;
        const FilmModes here = film_modes(holed(1.0));
        const auto stretched = [&](double f) {
            return here.of_modes(here.grid, squares_after(here.grid, {here.grid.plane.sheet, f, 1.0}));
        };
        const FilmModes more = film_modes(holed(1.0 + step)), less = film_modes(holed(1.0 - step));
        for (std::size_t k = 0; k < here.modes.size(); ++k) {
            const auto n = static_cast<Eigen::Index>(k);
            const double by_stretching = std::log(stretched(1.0 + step)[n] / stretched(1.0 - step)[n]);
            const double by_solving = std::log(more.modes[k].square.value / less.modes[k].square.value);
            CHECK(by_stretching == sample::Approx(by_solving).epsilon(1e-2));
        }
    }
}

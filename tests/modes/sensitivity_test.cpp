#include "support/approx.h"
#include "tymbal/modes/find_modes.h"

#include "support/exact_modes.h"
#include "support/films.h"

#include <doctest/doctest.h>

#include <cmath>
#include <functional>

using namespace tymbal;

namespace {

using Change = std::function<void(ModeProblem&, double)>;  // multiplies one input

/// d ln(omega^2)/d ln(input) of every mode from two complete solutions at +-1 %.
std::vector<double> resolved_again(const ModeProblem& problem, const Change& change) {
    constexpr double step = 0.01;
    ModeProblem up = problem, down = problem;
    change(up, std::exp(step));
    change(down, std::exp(-step));
    const ModeSet a = find_modes(up), b = find_modes(down);
    std::vector<double> slope;
    for (std::size_t k = 0; k < a.modes.size(); ++k)
        slope.push_back(std::log(a.modes[k].frequency_hz / b.modes[k].frequency_hz) / step);
    return slope;
}

/// Sensitivities are taken on the coarsest grid: their error is that grid's, about 1 % of values up to 4; differences
/// of two solutions add the scatter of cut grids, about 1e-4/0.02 = 0.005.
void check(const ModeProblem& problem, const Change& change, double Sensitivity::*which, double tolerance = 0.04) {
    const ModeSet set = find_modes(problem);
    const auto expected = resolved_again(problem, change);
    for (std::size_t k = 0; k < expected.size(); ++k) {
        CAPTURE(k);
        CHECK(std::abs(set.sensitivities[k].*which - expected[k]) < tolerance);
    }
}

const Change stress = [](ModeProblem& p, double f) { p.film.stress *= f; };
const Change modulus = [](ModeProblem& p, double f) { p.film.modulus *= f; };
const Change thickness = [](ModeProblem& p, double f) { p.film.thickness *= f; };
const Change density = [](ModeProblem& p, double f) { p.film.density *= f; };
const Change poisson_ratio = [](ModeProblem& p, double f) { p.film.poisson_ratio *= f; };

Change outline(const std::function<Outline(double)>& scaled) {
    return [scaled](ModeProblem& p, double f) { p.outline = scaled(f); };
}

void check_film(const ModeProblem& problem) {
    check(problem, stress, &Sensitivity::stress);
    check(problem, modulus, &Sensitivity::modulus);
    check(problem, thickness, &Sensitivity::thickness);
    check(problem, density, &Sensitivity::density);
    check(problem, poisson_ratio, &Sensitivity::poisson_ratio);
}

// delta/L = 0.0023 and 0.05: the first is a thin layer, the second is solved in full.
const PaintedFilm thin = simple::nitride(50e-9, 1e9), thick = simple::nitride(1e-6, 1e9);
constexpr double side = 100e-6;

}  // namespace

TEST_SUITE("reference") {
    TEST_CASE("film sensitivities are those of solving again: thin layer") {
        check_film({simple::rectangle(side, 0.8 * side), thin, 2, 1e-3});
        check_film({simple::disc(side), thin, 1, 1e-3});
    }
    TEST_CASE("film sensitivities are those of solving again: in full") {
        check_film({simple::rectangle(side, 0.8 * side), thick, 2, 1e-3});
        check_film({simple::disc(side), thick, 1, 1e-3});
    }
    TEST_CASE("width, height and size of rectangles") {
        for (const PaintedFilm& film : {thin, thick}) {
            const ModeProblem problem{simple::rectangle(side, 0.8 * side), film, 3, 1e-3};
            check(problem, outline([](double f) { return simple::rectangle(f * side, 0.8 * side); }),
                  &Sensitivity::width);
            check(problem, outline([](double f) { return simple::rectangle(side, f * 0.8 * side); }),
                  &Sensitivity::height);
            check(problem, outline([](double f) { return simple::rectangle(f * side, f * 0.8 * side); }),
                  &Sensitivity::scale, 0.06);
        }
    }
    TEST_CASE("diameter of discs") {
        for (const PaintedFilm& film : {thin, thick})
            check({simple::disc(side), film, 3, 1e-3}, outline([](double f) { return simple::disc(f * side); }),
                  &Sensitivity::scale, 0.06);
    }
    TEST_CASE("diameters of rings: both together by solving again, the inner one alone against exact rings") {
        for (const double thickness : {50e-9, 200e-9, 1e-6}) {
            for (const double ratio : {0.2, 0.4, 0.7}) {
                const PaintedFilm film = simple::nitride(thickness, 1e9);
                const exact::Film same{film.stress * film.thickness, film.bending(), film.density * film.thickness};
                const auto larger = exact::ring(same, 0.5 * side, 0.5005 * ratio * side, 3);
                const auto smaller = exact::ring(same, 0.5 * side, 0.4995 * ratio * side, 3);
                const ModeSet set = find_modes({simple::ring(side, ratio * side), film, 3, 1e-3});
                for (std::size_t k = 0; k < 3; ++k) {
                    // A difference over 6 % of the diameter on one cut grid: scatter 0.05, bias 2 %.
                    const double expected = std::log(larger[k] / smaller[k]) / 0.001;
                    CHECK(std::abs(set.sensitivities[k].inner - expected) < 0.08 + 0.02 * expected);
                }
            }
        }
        const ModeProblem problem{simple::ring(side, 0.4 * side), thick, 1, 1e-3};
        check(problem, outline([](double f) { return simple::ring(f * side, f * 0.4 * side); }), &Sensitivity::scale,
              0.1);
    }
}

TEST_SUITE("invariant") {
    TEST_CASE("sensitivities obey dimensional analysis") {
        // omega^2 = (D/(m L^4)) f(N L^2/D): stress + modulus = 1, and scale = -2 stress - 4 modulus.
        for (const PaintedFilm& film : {thin, thick}) {
            const ModeSet set = find_modes({simple::rectangle(side, 0.8 * side), film, 4, 1e-3});
            for (const Sensitivity& s : set.sensitivities) {
                CHECK(s.stress + s.modulus == sample::Approx(1.0).epsilon(0.01));
                CHECK(s.scale == sample::Approx(-2.0 * s.stress - 4.0 * s.modulus).epsilon(0.01));
                CHECK(s.width + s.height == sample::Approx(s.scale).epsilon(0.02));
                CHECK(s.density == -1.0);
            }
        }
    }
}

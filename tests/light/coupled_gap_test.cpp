// Film, gap and substrate with every order that crosses the gap. That no power is lost is asked here across an
// interface that the solution of the film alone does not know; it says nothing of the truncation.
#include "tymbal/light/coupled_gap.h"
#include "support/approx.h"

#include <doctest/doctest.h>

#include <cmath>

using namespace tymbal;

namespace {

constexpr double um = 1e-6;
const HoleLattice holes{Lattice::square, HoleShape::circle, 1.0 * um, 0.6 * um};

LatticeLight film(double wavelength_um, ComplexIndex index = 2.0) {
    return {holes, {{index, 0.2 * um}}, wavelength_um * um};
}

LatticeResponse at_once(const LatticeLight& lit, ComplexIndex below, double gap_m) {
    return respond(lit.holes, {lit.layers, gap_m, below}, lit.wavelength_m);
}

}  // namespace

TEST_SUITE("invariant") {
    TEST_CASE("orders sent to and fro over the gap are the stack solved in one piece") {
        // Two ways through the same equations: answers of the film to each order, closed over the gap, and admittances
        // carried up from the substrate. Orders that are left out kept less than 1e-12 of their power.
        for (const ComplexIndex below : {ComplexIndex(1.45), ComplexIndex(3.48, 0.01)})
            for (const double wavelength : {0.8, 1.2, 1.4})
                for (const double gap : {0.0, 0.05, 0.4, 2.0}) {
                    CAPTURE(wavelength);
                    CAPTURE(gap);
                    const LatticeLight lit = film(wavelength, {2.0, 1e-4});
                    const GapPoint found = over_gaps(lit, below, gap * um)(gap * um);
                    const LatticeResponse expected = at_once(lit, below, gap * um);
                    CHECK(std::abs(found.reflectivity - expected.reflectivity) < 1e-6);
                    CHECK(std::abs(found.absorption - expected.absorption) < 1e-6);
                }
    }

    TEST_CASE("a film of two layers answers from below as from above turned over") {
        LatticeLight two = film(1.4);
        two.layers.insert(two.layers.begin(), {1.45, 0.05 * um});
        CHECK(std::abs(over_gaps(two, 3.48, 0.3 * um)(0.3 * um).reflectivity -
                       at_once(two, 3.48, 0.3 * um).reflectivity) < 1e-6);
    }

    TEST_CASE("slope is the derivative by the gap, at one wavelength and in a fit over many") {
        const LatticeLight lit = film(1.4);
        const auto by_gap = over_gaps(lit, 3.48, 0.3 * um);
        for (const double gap : {0.35 * um, 0.7 * um}) {
            const double step = 1e-11;
            const double difference =
                (by_gap(gap + step).reflectivity - by_gap(gap - step).reflectivity) / (2.0 * step);
            CHECK(by_gap(gap).slope_per_m == sample::Approx(difference).epsilon(1e-5));
        }
        const LayeredFilm stack{lit.layers, 0.7 * um, 3.48};
        const auto fitted = over_gap_between(holes, [&](double) { return stack; }, {1.26 * um, 1.54 * um});
        const GapPoint here = by_gap(0.7 * um), there = fitted(1.4 * um);
        CHECK(std::abs(there.reflectivity - here.reflectivity) < 1e-4);
        CHECK(there.slope_per_m == sample::Approx(here.slope_per_m).epsilon(1e-3));
    }

    TEST_CASE("no power is lost over a clear substrate, also where orders tunnel into it") {
        for (const double gap : {0.1, 0.4, 1.0}) {
            CAPTURE(gap);
            CHECK(std::abs(over_gaps(film(1.4), 3.48, gap * um)(gap * um).absorption) < 1e-9);
            CHECK(at_once(film(1.4), 3.48, gap * um).diffracted_down > 0.0);  // silicon takes what the film holds
        }
    }

    TEST_CASE("zero order and all orders agree over a wide gap and part as exp(-2 K g) over a narrow one") {
        const LatticeLight lit = film(1.4);
        const FilmOverGap alone{see_lattice(lit), 3.48, lit.wavelength_m};
        const auto all = over_gaps(lit, 3.48, 0.3 * um);
        const auto apart = [&](double gap) {
            return std::abs(all(gap).reflectivity - at_gap(alone, gap).reflectivity);
        };
        // K = 2 pi sqrt(1/p^2 - 1/lambda^2)
        const double k = 2.0 * 3.14159265358979 * std::sqrt(1.0 - 1.0 / 1.96) / um;
        for (const double gap : {0.3 * um, 0.5 * um, 0.7 * um, 1.0 * um, 1.5 * um, 2.5 * um}) {
            CAPTURE(gap);
            CHECK(coupling_across(holes, lit.wavelength_m, gap) == sample::Approx(std::exp(-2.0 * k * gap)));
            CHECK(apart(gap) < 4.0 * std::exp(-2.0 * k * gap) + 1e-6);
        }
        double near = 0.0, far = 0.0;  // over half a wavelength each, as the difference turns with the gap
        for (double turn = 0.0; turn < 0.7; turn += 0.07) {
            near = std::max(near, apart((0.3 + turn) * um));
            far = std::max(far, apart((1.0 + turn) * um));
        }
        CHECK(near > 0.01);
        CHECK(std::abs(std::log(near / far) / (2.0 * k * 0.7 * um) - 1.0) < 0.3);
    }

    TEST_CASE("a narrow line keeps its place and width over a far substrate and is broadened by a near one") {
        const LayeredFilm alone{{{2.0, 0.2 * um}}};
        const auto lines = find_lines(holes, [&](double) { return alone; }, {1.0 * um, 1.5 * um}, {4.0, 5.0});
        REQUIRE(lines.size() == 2);
        const auto over = [&](double gap_um) {
            const LayeredFilm stack{alone.layers, gap_um * um, 3.48};
            return lines_over_gap(
                holes, [=](double) { return stack; }, lines);
        };
        const auto far = over(2.5), near = over(1.4);
        REQUIRE(far.front().has_value());
        REQUIRE(near.front().has_value());
        const double width = lines.front().width_m;
        CHECK(std::abs(far.front()->moved_m) < width);
        CHECK(far.front()->width_m < 2.0 * width);
        CHECK(near.front()->width_m > far.front()->width_m);
    }
}

TEST_SUITE("unit") {
    TEST_CASE("where orders run, all of the first are left over any gap") {
        CHECK(coupling_across(holes, 0.9 * um, 5.0 * um) == 1.0);
        CHECK(coupling_across(holes, 1.2 * um, 0.0) == 1.0);
    }
}

// The band of a mode's bending: films solved by other means whose share lies in it, and figures that must not depend on
// how a rim lies to the grid.
#include "support/approx.h"
#include "support/exact_modes.h"
#include "support/films.h"

#include "tymbal/geometry/front.h"
#include "tymbal/modes/find_modes.h"

#include <doctest/doctest.h>

#include <algorithm>
#include <cmath>
#include <numbers>
#include <vector>

using namespace tymbal;
using std::numbers::pi;

namespace {

struct Band {
    double low = 0.0, value = 0.0, high = 0.0;
    [[nodiscard]] bool covers(double dilution) const { return low <= dilution && dilution <= high; }
};

Band dilution_of(const Mode& mode) {
    const ModeIntegrals& i = mode.integrals;
    return {i.stiffness / i.bending_high, i.stiffness / (i.bending_interior + i.bending_edge),
            i.stiffness / i.bending_low};
}

bool warns(const ModeSet& set, const char* code) {
    return std::any_of(set.warnings.begin(), set.warnings.end(), [&](const Warning& w) { return w.code == code; });
}

PaintedFilm quarter_film(double thickness, double stress) {
    return {thickness, 250e9, 0.25, stress, 3100.0, {}, 0.0, {}, {}, 0.0};
}

/// A polygon in units of half a millimetre, turned about the origin.
Outline polygon(const std::vector<Point>& vertices, double degrees) {
    const double c = 5e-4 * std::cos(degrees * pi / 180.0), s = 5e-4 * std::sin(degrees * pi / 180.0);
    Polygon out;
    for (const Point& p : vertices) out.vertices.push_back({c * p.x - s * p.y, s * p.x + c * p.y});
    return out;
}

/// 8 x 8 holes of 4 um on a pitch of 10 um, with all that lies within the undercut of them.
Outline fronts(double undercut) {
    PlacedHoles holes{HoleShape::circle, 4e-6, 0.0, {}};
    for (int i = 0; i < 8; ++i)
        for (int j = 0; j < 8; ++j) holes.centres.push_back({(i - 3.5) * 1e-5, (j - 3.5) * 1e-5});
    return Released{front(holes, undercut), simple::length(undercut)};
}

}  // namespace

TEST_SUITE("reference") {
    TEST_CASE("the dilution of etch fronts scatters no more from undercut to undercut, and its band has the plate's") {
        // Clamped plates under tension on the scalloped outline, solved by others' means: 73.7, 75.5, 77.2, 78.7.
        const double undercuts[] = {5.8e-6, 6.2e-6, 6.6e-6, 7.0e-6}, plate[] = {73.7, 75.5, 77.2, 78.7};
        double before = 0.0;
        for (std::size_t k = 0; k < 4; ++k) {
            CAPTURE(undercuts[k]);
            const ModeSet set = find_modes({fronts(undercuts[k]), quarter_film(100e-9, 1e9), 1, 1e-3});
            const Band dilution = dilution_of(set.modes[0]);
            MESSAGE(dilution.low, " to ", dilution.high, ", middle ", dilution.value, "; plate ", plate[k]);
            CHECK(dilution.covers(plate[k]));
            CHECK(dilution.value == sample::Approx(plate[k]).epsilon(0.2));
            CHECK(dilution.value > before);  // it rises with the undercut
            CHECK(set.modes[0].integrals.bending_rough);
            CHECK(warns(set, "rough-dilution"));
            before = dilution.value;
        }
    }

    TEST_CASE("a polygon on grid lines has the dilution of itself turned by a degree") {
        const std::vector<Point> vertices{{0, 0}, {1, 0}, {1, 1}, {2, 1}, {3, 2}, {2, 2}, {2, 3}, {0, 1}};
        const PaintedFilm film = quarter_film(30e-9, 1e9);
        const ModeSet straight = find_modes({polygon(vertices, 0.0), film, 3, 1e-3});
        const ModeSet turned = find_modes({polygon(vertices, 1.0), film, 3, 1e-3});
        for (std::size_t k = 0; k < 3; ++k) {
            CAPTURE(k);
            const Band a = dilution_of(straight.modes[k]), b = dilution_of(turned.modes[k]);
            MESSAGE(a.value, " and ", b.value);
            CHECK(a.covers(b.value));
            CHECK(b.covers(a.value));
            CHECK(a.value == sample::Approx(b.value).epsilon(0.1));
        }
        // Sums on up to 384 cells across, turned by 0, 1, 7 and 30 degrees, lie between 1969 and 2011.
        CHECK(dilution_of(straight.modes[0]).covers(1990.0));
        CHECK(straight.modes[0].integrals.bending_rough);
    }

    TEST_CASE("an L with a layer of a hundredth of its arms has the dilution of the whole plate problem in its band") {
        // Tension and bending in full, the layer 1.9 cells wide and slope zero on the grid: no series, no corner rule.
        const std::vector<Point> vertices{{0, 0}, {2, 0}, {2, 1}, {1, 1}, {1, 2}, {0, 2}};
        const ModeProblem problem{polygon(vertices, 0.0), quarter_film(2.12e-6, 1e9), 3, 1e-3};
        const Level plate = solve_level(problem, 192, 192, RimTreatment::resolved);
        const ModeSet set = find_modes(problem);
        REQUIRE(set.rim == RimTreatment::thin_layer);
        for (Eigen::Index k = 0; k < 3; ++k) {
            CAPTURE(k);
            // 192 cells give 23.49, 26.13, 27.53; 384 cells 23.81, 26.55, 27.94, that is 1.4 to 1.6 % more.
            const Band dilution = dilution_of(set.modes[static_cast<std::size_t>(k)]);
            const double whole = 1.015 * plate.values[k] / plate.interior[k];
            MESSAGE(dilution.low, " to ", dilution.high, ", plate ", whole);
            CHECK(dilution.covers(whole));
        }
    }

    TEST_CASE("all modes of a ring that cuts the grid have the exact ring's dilution") {
        const PaintedFilm film = quarter_film(55e-9, 316e6);
        const double outer = 594e-6, inner = 0.69 * outer;
        const ModeSet set = find_modes({simple::ring(outer, inner), film, 8, 1e-3});
        // In units of the outer radius, so that no Bessel function overflows.
        const double r = 0.5 * outer;
        const exact::Film plate{film.stress * film.thickness * r * r / film.bending(), 1.0, 1.0};
        for (std::size_t k = 0; k < 8; ++k) {
            CAPTURE(k);
            const double share = exact::bending_share(
                plate, [&](const exact::Film& f) { return exact::ring(f, 1.0, inner / outer, 9); }, k);
            const Band dilution = dilution_of(set.modes[k]);
            MESSAGE(dilution.low, " to ", dilution.high, ", exact ", 1.0 / share);
            CHECK(dilution.covers(1.0 / share));
            CHECK(dilution.value == sample::Approx(1.0 / share).epsilon(0.03));
            CHECK_FALSE(set.modes[k].integrals.bending_rough);
        }
    }

    TEST_CASE("the bands of squares and discs are narrow and have the exact dilution") {
        for (const double tension : {1e4, 1e6}) {
            CAPTURE(tension);
            const exact::Film plate{tension, 1.0, 1.0};
            const ModeSet square = find_modes({simple::rectangle(1, 1), simple::film(tension, 1.0), 1, 1e-3});
            const ModeSet disc = find_modes({simple::disc(2), simple::film(tension, 1.0), 1, 1e-3});
            const double of_square = exact::bending_share(
                plate, [](const exact::Film& f) { return exact::rectangle(f, 1, 1, 1); }, 0);
            const double of_disc = exact::bending_share(
                plate, [](const exact::Film& f) { return exact::disc(f, 1, 1); }, 0);
            const Band a = dilution_of(square.modes[0]), b = dilution_of(disc.modes[0]);
            MESSAGE(a.low, " to ", a.high, ", exact ", 1.0 / of_square, "; ", b.low, " to ", b.high, ", exact ",
                    1.0 / of_disc);
            CHECK(a.covers(1.0 / of_square));
            CHECK(b.covers(1.0 / of_disc));
            CHECK(a.high < 1.06 * a.low);
            CHECK(b.high < 1.06 * b.low);
        }
    }

    TEST_CASE("a disc with a wide free hole weighs what its film at the hole's edge says, not nodes beyond it") {
        // Clamped disc, 100 um, free hole of 70 um, Lame's tension, bending in full: Hermite cubics along the radius,
        // 60 and 100 of them, to the digits given: 4.64319 MHz, 1.62148e-13 kg, dilution 52.108 [computed outside].
        ModeProblem problem{simple::disc(100e-6), simple::nitride(50e-9, 1e9), 3, 1e-3};
        problem.film.openings = {circle_figure({0.0, 0.0}, 70e-6)};
        problem.film.narrowest = 15e-6;
        for (const double accuracy : {1e-2, 1e-3}) {
            problem.accuracy = accuracy;
            const Mode mode = find_modes(problem).modes[0];
            const Band dilution = dilution_of(mode);
            MESSAGE(mode.integrals.mass, " +- ", mode.integrals.mass_error, " kg; ", dilution.low, " to ",
                    dilution.high, "; ", mode.frequency_hz, " +- ", mode.discretisation_error_hz, " Hz");
            CHECK(std::abs(mode.integrals.mass - 1.62148e-13) < mode.integrals.mass_error);
            CHECK(mode.integrals.mass_error < 0.06 * mode.integrals.mass);
            CHECK(dilution.covers(52.108));
            CHECK(std::abs(mode.frequency_hz - 4.64319e6) < mode.discretisation_error_hz);
        }
    }
}

#include "tymbal/film/stoney.h"
#include "support/approx.h"

#include "support/designs.h"
#include "tymbal/base/error.h"

#include <doctest/doctest.h>

#include <cmath>

using namespace tymbal;

namespace {

const Source test{"test case", Origin::design};

Sourced<Length> length(double metres, double deviation = 0.0) {
    return {Length::from_si(metres), Length::from_si(deviation), test};
}
Sourced<InverseLength> curvature(double per_m, double deviation = 0.0) {
    return {InverseLength::from_si(per_m), InverseLength::from_si(deviation), test};
}

/// 100 nm on 525 um of Si(100).
WaferBend usual(double k) {
    return {length(525e-6), 180.5e9,        0.0,         curvature(0.0), curvature(k),
            length(100e-9), length(100e-9), Faces::none, Faces::front,   {}};
}

}  // namespace

TEST_SUITE("reference") {
    TEST_CASE("a gigapascal of 100 nm bends 525 um of Si(100) to a radius of 83 m, 9.6 um over 80 mm") {
        // biaxial modulus 180.5 GPa (from memory); R = 83 m, bow 9.6 um [computed apart from this program]
        const double k = curvature_of_bow(length(9.64e-6), length(80e-3)).si();
        CHECK(1.0 / k == sample::Approx(83.0).epsilon(0.002));
        CHECK(stoney(usual(k)).stress_pa == sample::Approx(1e9).epsilon(0.002));
    }

    TEST_CASE("biaxial moduli of silicon are 180 and 229 GPa") {
        // Brantley, J. Appl. Phys. 44, 534 (1973): 180.5 GPa on (100), 229 GPa on (111) (from memory)
        const Solid& silicon = sample::table().solids.at("silicon");
        CHECK(biaxial_modulus(silicon, false).modulus == sample::Approx(180.5e9).epsilon(0.003));
        CHECK(biaxial_modulus(silicon, true).modulus == sample::Approx(229e9).epsilon(0.003));
        CHECK(biaxial_modulus(silicon, false).deviation < 2e9);
    }

    TEST_CASE("fifteen micrometres of 525 um wafer are 5.7 per cent of stress") {
        // (2 * 15/525) [by hand]
        WaferBend bend = usual(0.012);
        bend.wafer_thickness = length(525e-6, 15e-6);
        const StressResult r = stoney(bend);
        CHECK(r.stress_std_pa / r.stress_pa == sample::Approx(0.057).epsilon(0.01));
        CHECK(r.shares.front().input == "wafer.thickness");
    }
}

TEST_SUITE("unit") {
    TEST_CASE("a row without elastic constants has no biaxial modulus, and says what it lacks") {
        Solid glass;
        glass.row = "glass";
        CHECK_THROWS_WITH_AS((void)biaxial_modulus(glass, false),
                             "the material row 'glass' has no elastic constants, and a bend tells no stress without "
                             "those of wafer and film; give it youngs_modulus and poisson_ratio",
                             NoAnswer);
    }
}

TEST_SUITE("invariant") {
    TEST_CASE("film on both faces bends nothing, stripping the back bends as if the front had been added") {
        WaferBend bend = usual(0.012);
        bend.films_after = Faces::both;
        CHECK_THROWS_AS((void)stoney(bend), NoAnswer);
        bend.films_before = Faces::both;
        bend.films_after = Faces::front;
        CHECK(stoney(bend).stress_pa == sample::Approx(stoney(usual(0.012)).stress_pa).epsilon(1e-12));
        bend.films_after = Faces::both;
        CHECK_THROWS_WITH_AS((void)stoney(bend), doctest::Contains("same faces"), NoAnswer);
        bend.films_after = Faces::back;  // front stripped: the other way round
        CHECK(stoney(bend).stress_pa == sample::Approx(-stoney(usual(0.012)).stress_pa).epsilon(1e-12));
    }

    TEST_CASE("unequal films on both faces count by their difference") {
        WaferBend bend = usual(0.012);
        bend.films_after = Faces::both;
        bend.film_back = length(60e-9);
        CHECK(stoney(bend).stress_pa == sample::Approx(stoney(usual(0.012)).stress_pa / 0.4).epsilon(1e-12));
    }

    TEST_CASE("a layer that came in between is taken off, one that was there both times is not seen") {
        WaferBend bend = usual(0.012);
        OtherLayer oxide{"oxide", length(1e-6), {Stress::from_si(-300e6), Stress{}, test}, Faces::front, Faces::front};
        bend.others = {oxide};
        CHECK(stoney(bend).stress_pa == sample::Approx(stoney(usual(0.012)).stress_pa));
        bend.others.front().before = Faces::none;
        CHECK(stoney(bend).stress_pa == sample::Approx(stoney(usual(0.012)).stress_pa + 300e6 * 10.0));
    }

    TEST_CASE("tension does not hang on the film's own thickness, stress does") {
        WaferBend bend = usual(0.012);
        bend.film_front = length(100e-9, 5e-9);
        const StressResult r = stoney(bend);
        CHECK(r.stress_std_pa / r.stress_pa == sample::Approx(0.05).epsilon(0.01));
        CHECK(r.tension_std_n_per_m / r.tension_n_per_m < 1e-9);
    }
}

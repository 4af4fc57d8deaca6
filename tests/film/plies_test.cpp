#include "support/approx.h"
#include "tymbal/film/laminate.h"

#include "support/designs.h"
#include "tymbal/base/error.h"

#include <doctest/doctest.h>

#include <cmath>

using namespace tymbal;

namespace {

const Source test{"test case", Origin::design};

Film nitride(double thickness, double stress) {
    return sample::design(
               sample::film(std::to_string(1e9 * thickness) + " nm", std::to_string(1e-6 * stress) + " MPa") +
               sample::square("200 um"))
        .film;
}

FilmLayer layer(const std::string& row, double thickness, double stress) {
    return {row,
            {Length::from_si(thickness), Length{}, test},
            {Stress::from_si(stress), Stress{}, test},
            sample::table().solids.at(row)};
}

double stretch(const Film& f) {
    const double nu = f.poisson_ratio.si();
    return f.youngs_modulus.si() * f.thickness.si() / (1.0 - nu * nu);
}

/// Nitride's own constants as a row, to lay it on itself.
FilmLayer same(const Film& f, double thickness) {
    FilmLayer own = layer("nitride-stoichiometric", thickness, f.stress.si());
    own.properties.youngs_modulus = f.youngs_modulus;
    own.properties.poisson_ratio = f.poisson_ratio;
    own.properties.density = f.density;
    return own;
}

}  // namespace

TEST_SUITE("reference") {
    TEST_CASE("a bilayer's neutral plane and bending stiffness are Timoshenko's") {
        // Timoshenko, J. Opt. Soc. Am. 11, 233 (1925) and textbooks on composite beams (from memory): z0 = (Q1 h1^2 + 2
        // Q2 h1 h2 + Q2 h2^2)/(2 (Q1 h1 + Q2 h2)); D = [Q1^2 h1^4 + Q2^2 h2^4 + 2 Q1 Q2 h1 h2 (2 h1^2 + 2 h2^2 + 3 h1
        // h2)]/ (12 (Q1 h1 + Q2 h2))
        Film f = nitride(100e-9, 1e9);
        const double h1 = 100e-9, h2 = 30e-9, q1 = 250e9 / (1.0 - 0.0625), q2 = 70e9 / (1.0 - 0.35 * 0.35);
        f.layers = {layer("aluminium", h2, 0.0)};
        const Laminate l = laminate_of(f);
        CHECK(l.neutral_m ==
              sample::Approx((q1 * h1 * h1 + 2.0 * q2 * h1 * h2 + q2 * h2 * h2) / (2.0 * (q1 * h1 + q2 * h2))));
        const double d = (q1 * q1 * std::pow(h1, 4) + q2 * q2 * std::pow(h2, 4) +
                          2.0 * q1 * q2 * h1 * h2 * (2.0 * h1 * h1 + 2.0 * h2 * h2 + 3.0 * h1 * h2)) /
                         (12.0 * (q1 * h1 + q2 * h2));
        CHECK(bending_stiffness_n_m(l.film) == sample::Approx(d));
        CHECK(stretch(l.film) == sample::Approx(q1 * h1 + q2 * h2));
    }
}

TEST_SUITE("invariant") {
    TEST_CASE("a film laid on itself is the thicker film") {
        Film half = nitride(50e-9, 1e9);
        half.layers = {same(half, 30e-9), same(half, 20e-9)};
        const Film whole = nitride(100e-9, 1e9), joined = laminate_of(half).film;
        CHECK(joined.thickness.si() == sample::Approx(100e-9));
        CHECK(joined.youngs_modulus.si() == sample::Approx(whole.youngs_modulus.si()));
        CHECK(joined.stress.si() == sample::Approx(1e9));
        CHECK(joined.density.si() == sample::Approx(whole.density.si()));
        CHECK(std::abs(laminate_of(half).moment_n) < 1e-12);
    }

    TEST_CASE("tension, mass and expansion add up, shares sum to one") {
        Film f = nitride(100e-9, 1e9);
        f.layers = {layer("gold", 20e-9, 200e6), layer("niobium", 10e-9, -100e6)};
        const Laminate l = laminate_of(f);
        CHECK(tension_n_per_m(l.film) == sample::Approx(100.0 + 4.0 - 1.0));
        CHECK(l.film.density.si() * l.film.thickness.si() ==
              sample::Approx(3100.0 * 100e-9 + 19300.0 * 20e-9 + 8570.0 * 10e-9));
        double tension = 0.0, mass = 0.0, bending = 0.0;
        for (const LayerShare& s : l.shares) {
            tension += s.tension;
            mass += s.mass;
            bending += s.bending;
        }
        CHECK(tension == sample::Approx(1.0));
        CHECK(mass == sample::Approx(1.0));
        CHECK(bending == sample::Approx(1.0));
        CHECK(l.film.quality_volume.si() < 3000.0);
    }

    TEST_CASE("twice the metal on a film of the same tension lowers its frequency as the square root of its mass") {
        const auto lowest = [](const std::string& layers) {
            return sample::predict(sample::film("100 nm") + layers + sample::square("300 um") + "[solve]\nmodes = 1\n")
                .modes.front()
                .mode.frequency_hz;
        };
        const double bare = lowest("");
        const double gold = lowest("[[film.layer]]\nmaterial = \"gold\"\nthickness = \"20 nm\"\nstress = \"0 MPa\"\n");
        const double mass = 1.0 + 19300.0 * 20.0 / (3100.0 * 100.0);
        CHECK(gold / bare == sample::Approx(1.0 / std::sqrt(mass)).epsilon(2e-3));
    }
}

TEST_SUITE("unit") {
    TEST_CASE("a metal over the rim is flagged, a row without what is needed is refused") {
        const std::string start = sample::film("100 nm"), end = sample::square("300 um") + "[solve]\nmodes = 1\n";
        const Prediction p = sample::predict(
            start + "[[film.layer]]\nmaterial = \"aluminium\"\nthickness = \"30 nm\"\nstress = \"0 MPa\"\n" + end);
        int flagged = 0;
        for (const Warning& w : p.warnings) flagged += w.code == "layer-at-rim" ? 1 : 0;
        CHECK(flagged == 1);
        // its share of bending (a third here) over its own quality rules the intrinsic loss
        const Prediction bare = sample::predict(start + end);
        CHECK(p.modes.front().losses.terms[0].quality->value < 0.3 * bare.modes.front().losses.terms[0].quality->value);
        const std::string bad = "[[film.layer]]\nmaterial = \"gold\"\nthicknes = \"30 nm\"\n";
        CHECK_THROWS_WITH_AS((void)sample::design(start + bad + end), doctest::Contains("did you mean 'thickness'"),
                             InputError);
        const std::string area =
            "[[film.layer]]\nmaterial = \"gold\"\nthickness = \"30 nm\"\nstress = \"0 MPa\"\narea = \"x\"\n";
        CHECK_THROWS_WITH_AS((void)sample::design(start + area + end), doctest::Contains("a list of [x, y] pairs"),
                             InputError);
    }
}

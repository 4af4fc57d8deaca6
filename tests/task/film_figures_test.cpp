// Figures of the film as a whole, held against solutions outside the program: Lame's ring, a strip's uniaxial stress,
// quadratic finite elements of perforated plates, and each model against the other.
#include "support/approx.h"
#include "support/designs.h"

#include <doctest/doctest.h>

#include <algorithm>
#include <cmath>
#include <string>

using namespace tymbal;
using tymbal::sample::Approx;

namespace {

std::string solve(int modes, const char* accuracy, const char* model = "auto") {
    return "[solve]\nmodes = " + std::to_string(modes) + "\naccuracy = " + accuracy + "\nmodel = \"" + model + "\"\n";
}

std::string lattice(const char* diameter, const char* pitch, const char* margin) {
    return std::string("[holes]\nlattice = \"square\"\ndiameter = \"") + diameter + "\"\npitch = \"" + pitch +
           "\"\nmargin = \"" + margin + "\"\n";
}

const std::string ring = sample::film("50 nm") + "[outline]\nshape = \"disc\"\ndiameter = \"100 um\"\n" +
                         "[[openings]]\nshape = \"circle\"\ndiameter = \"70 um\"\n";

/// A strip of 8 um, 200 um long, between two openings that cross the outline.
std::string strip() {
    std::string text =
        sample::film("50 nm") + "[outline]\nshape = \"rectangle\"\nwidth = \"200 um\"\nheight = \"60 um\"\n";
    for (const char* y : {"24 um", "-24 um"})
        text += std::string("[[openings]]\nshape = \"rectangle\"\nwidth = \"220 um\"\nheight = \"40 um\"\ncentre = ") +
                "[\"0 um\", \"" + y + "\"]\n";
    return text;
}

}  // namespace

TEST_SUITE("unit") {
    TEST_CASE("a ring round an open disc keeps Lame's mean stress, not more than was deposited") {
        // 1 - 1/(1 + (1 - nu)/(1 + nu)/f), f the open fraction of the disc: uniform in a ring clamped outside and free
        // inside (Timoshenko and Goodier, Theory of Elasticity, section 28, from memory, re-derived); .561 for nu .23.
        const double nu = 0.25, open = 0.49, share = 1.0 - 1.0 / (1.0 + (1.0 - nu) / (1.0 + nu) / open);
        CHECK(1.0 - 1.0 / (1.0 + 0.77 / 1.23 / open) == Approx(0.561).epsilon(1e-3));
        const Prediction p = sample::predict(ring + solve(1, "1e-2"));
        CHECK(p.film.stress_relaxed_mean_pa == Approx(1e9 * share).epsilon(0.01));
        // Macroscopic: what is open carries none, over the whole outline; so does the mass per area.
        CHECK(p.film.tension_x_n_per_m == Approx(50.0 * share * (1.0 - open)).epsilon(0.01));
        CHECK(p.film.tension_y_n_per_m == Approx(p.film.tension_x_n_per_m).epsilon(1e-6));
        CHECK(p.film.areal_density_kg_per_m2 == Approx(3100.0 * 50e-9 * (1.0 - open)).epsilon(1e-3));
    }

    TEST_CASE(
        "a strip let go at its long sides keeps half of its uniaxial stress as mean, whatever modes are asked for") {
        // (s (1 - nu) + 0)/2 away from the ends, which hold the film across over about a width.
        const Prediction two = sample::predict(strip() + solve(2, "1e-2")),
                         five = sample::predict(strip() + solve(5, "1e-2"));
        CHECK(two.film.stress_relaxed_mean_pa == Approx(0.375e9).epsilon(0.03));
        CHECK(five.film.stress_relaxed_mean_pa == Approx(two.film.stress_relaxed_mean_pa).epsilon(0.01));
    }

    TEST_CASE("the peak of an averaged hole field settles with the grid at what the hole at its corner feels") {
        // Nine-node elements on the whole plate, every hole with its edge, 8 elements along an eighth of a hole:
        // largest von Mises stress over the deposited one, at the corner hole's edge [computed outside].
        struct Field {
            const char *side, *diameter, *pitch, *margin;
            int holes;
            double peak;
        };
        const Field fields[] = {{"60 um", "4.2595 um", "5 um", "5 um", 81, 2.35},
                                {"60 um", "4.2595 um", "5 um", "8 um", 49, 2.84},
                                {"60 um", "8.5191 um", "10 um", "8 um", 9, 2.68},
                                {"60 um", "3.4076 um", "4 um", "2 um", 169, 2.05},
                                {"100 um", "4.0006 um", "10 um", "6 um", 81, 1.85}};
        for (const Field& f : fields) {
            CAPTURE(f.holes);
            CAPTURE(f.pitch);
            for (const char* accuracy : {"1e-2", "1e-3", "1e-4"}) {
                CAPTURE(accuracy);
                const Prediction p =
                    sample::predict(sample::film("50 nm") + sample::square(f.side) +
                                    lattice(f.diameter, f.pitch, f.margin) + solve(1, accuracy, "averaged"));
                REQUIRE(p.film.hole_count == f.holes);
                const double peak = p.film.stress_peak_von_mises_pa, error = p.film.stress_peak_error_pa;
                CHECK(std::abs(peak - 1e9 * f.peak) < error);
                CHECK(peak == Approx(1e9 * f.peak).epsilon(0.06));
                CHECK(error < 0.2 * peak);
            }
        }
    }

    TEST_CASE("pressure deflects a perforated film alike whether its holes are averaged or resolved") {
        // It acts on the film that is there: loading the holes, too, would put them 2.3 times apart.
        const std::string drum = sample::film("50 nm") + sample::square("60 um") + lattice("4.2595 um", "5 um", "5 um");
        const Prediction averaged = sample::predict(drum + solve(1, "1e-2", "averaged"));
        const Prediction resolved = sample::predict(drum + solve(1, "1e-2", "resolved"));
        CHECK(averaged.film.deflection_per_pressure_m_per_pa ==
              Approx(resolved.film.deflection_per_pressure_m_per_pa).epsilon(0.04));
    }

    TEST_CASE("a dilution known to an order of magnitude widens material loss and total Q, and a warning says so") {
        // The averaged model does not see how the clamped layer meets a front's cusps.
        const Prediction p = sample::predict(
            sample::film("100 nm") + "[outline]\nshape = \"hole-field\"\n[holes]\nlattice = \"triangular\"\n" +
            "diameter = \"2 um\"\npitch = \"5 um\"\nfield = [\"61 um\", \"61 um\"]\n" +
            "[release]\ngap = \"2 um\"\nundercut = \"2.2 um\"\n" + solve(1, "1e-2", "averaged"));
        const LossBudget& losses = p.modes[0].losses;
        const Dilution& d = losses.dilution;
        CHECK(d.rough);
        CHECK(d.low < d.factor);
        CHECK(d.factor < d.high);
        const auto term = [&](const char* name) {
            return std::find_if(losses.terms.begin(), losses.terms.end(),
                                [&](const LossTerm& t) { return t.name == name; });
        };
        const LossTerm &intrinsic = *term("intrinsic"), &diluted = *term("diluted");
        CHECK(diluted.trust == Trust::order_of_magnitude);
        CHECK(diluted.quality->low == Approx(intrinsic.quality->low * d.low));
        CHECK(diluted.quality->high == Approx(intrinsic.quality->high * d.high));
        double most_loss = 0.0;
        for (const LossTerm& t : losses.terms)
            if (t.quality && t.name != "intrinsic") most_loss += 1.0 / t.quality->low;
        CHECK(losses.total.low == Approx(1.0 / most_loss));
        CHECK(std::any_of(p.warnings.begin(), p.warnings.end(),
                          [](const Warning& w) { return w.code == "rough-dilution"; }));
        CHECK(p.modes[0].figures.effective_mass_error_kg > 0.0);
    }
}

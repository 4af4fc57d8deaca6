#include "tymbal/task/cavity.h"

#include "support/designs.h"
#include "tymbal/base/constants.h"
#include "tymbal/base/error.h"
#include "tymbal/print/write_cavity.h"
#include "tymbal/task/plan.h"
#include "tymbal/task/report.h"

#include <doctest/doctest.h>

#include <algorithm>
#include <cmath>
#include <sstream>
#include <string>

using namespace tymbal;

namespace {

double off(double value, double wanted) {
    return std::abs(value / wanted - 1.0);
}

/// 1 mm, 50 nm, 3100 kg/m^3, 1 GPa, n = 2: 401.6 kHz, 38.75 ng.
std::string film(const std::string& extinction) {
    return sample::film("50 nm") + "index = 2.0\nextinction = " + extinction + "\n" + sample::square("1 mm");
}
const std::string drum = film("0");

std::string light(const std::string& spot) {
    return "[readout]\nwavelength = \"1064 nm\"\nspot_radius = \"" + spot + "\"\n";
}

const std::string two_mirrors = "[cavity]\nlength = \"10 mm\"\ninput_transmission = 100e-6\nend_transmission = 10e-6\n";

std::string modes(int count) {
    return "[solve]\nmodes = " + std::to_string(count) + "\n";
}

CavityReport seen(const std::string& text) {
    return see_cavity(sample::design(text), sample::table());
}

std::string json_of(const CavityReport& r) {
    std::ostringstream out;
    write_json(out, r);
    return out.str();
}

bool warned(const CavityReport& r, const std::string& code) {
    return std::any_of(r.warnings.begin(), r.warnings.end(), [&](const Warning& w) { return w.code == code; });
}

}  // namespace

TEST_SUITE("reference") {
    TEST_CASE("a millimetre drum in a centimetre of cavity couples by 16 Hz a photon") {
        // f 401.610 kHz, m 38.75 ng, G/2pi 21.715 MHz/nm: g0/2pi = 15.946 Hz at a small spot [computed]; the clamped
        // layer and the grid move frequency and mass by some 1e-3
        const CavityReport r = seen(drum + light("2 um") + two_mirrors + "power = \"10 uW\"\n" + modes(1));
        CHECK(off(r.modes.front().mode.g0_hz, 15.946) < 3e-3);
        CHECK(off(r.travel.finesse, 57120.0) < 1e-3);
        CHECK(off(r.travel.place.kappa_hz, 179.7e3) < 1e-3);
    }
}

TEST_SUITE("invariant") {
    TEST_CASE("the thermal noise of the listed modes grows towards that of the film's static stiffness") {
        const std::string text = drum + light("100 um") + two_mirrors;
        const CavityReport few = seen(text + modes(1)), many = seen(text + modes(60));
        CHECK(few.noise.all_modes);
        CHECK(off(few.noise.rms_hz, many.noise.rms_hz) < 1e-3);
        CHECK(few.noise.listed_rms_hz < many.noise.listed_rms_hz);
        CHECK(many.noise.listed_rms_hz < many.noise.rms_hz * 1.005);  // the static grid's error
        CHECK(many.noise.listed_rms_hz > 0.97 * many.noise.rms_hz);
        // The static push of one photon is that of all modes together, too.
        double shift = 0.0;
        for (const ModeInCavity& m : many.modes) shift += 2.0 * m.mode.g0_hz * m.mode.g0_hz / m.mode.frequency_hz;
        const CavityLine line{many.wavelength_m, many.travel.place.kappa_hz, many.travel.place.kappa_input_hz};
        const double listed_w = power_for_photons_w(line, 0.0, bistable_photons(line, shift));
        CHECK(off(listed_w, *many.bistable_power_w) < 0.06);
    }

    TEST_CASE("predict and cavity give one coupling, and a curved mirror's spot counts for both") {
        const std::string text =
            drum + light("9 um") + two_mirrors + "input_radius = \"25 mm\"\nend_radius = \"25 mm\"\n";
        const CavityReport r = seen(text + modes(3));
        const Prediction p = predict(sample::design(text + modes(3)), sample::table());
        CHECK(r.settings.waist.si() > 50e-6);
        for (std::size_t k = 0; k < r.modes.size(); ++k) {
            CHECK(std::abs(*p.modes[k].figures.single_photon_coupling_hz - r.modes[k].mode.g0_hz) < 1e-9 * 16.0);
            CHECK(std::abs(*p.modes[k].figures.single_photon_cooperativity - r.modes[k].single_photon_cooperativity) <
                  1e-9);
        }
    }

    TEST_CASE("light in the cavity heats the film as plan says of the same power") {
        const std::string text = film("1e-6") + light("40 um") + two_mirrors + "power = \"10 uW\"\n" + modes(2);
        const CavityReport r = seen(text);
        REQUIRE(r.heat.has_value());
        const Plan p = plan(sample::design(text), sample::table(), {});
        CHECK(off(r.heat->hottest_k / r.heat->absorbed_w, p.heat->at_spot.hottest_k_per_w) < 1e-2);
        CHECK(off(r.heat->relative_shift / r.heat->absorbed_w, p.heat->at_spot.relative_shift_per_w[0]) < 1e-2);
        // What the film absorbs is its share of what comes in: never more than the laser gives.
        CHECK(r.heat->absorbed_w > 0.0);
        CHECK(r.heat->absorbed_w < 10e-6);
    }
}

TEST_SUITE("unit") {
    TEST_CASE("the best detuning is each mode's own, one that is given holds for all") {
        const std::string text = drum + light("60 um") + two_mirrors + "power = \"10 uW\"\n";
        const CavityReport best = seen(text + modes(4)), given = seen(text + "detuning = \"-400 kHz\"\n" + modes(4));
        for (const ModeInCavity& m : best.modes) {
            if (!(m.mode.g0_hz > 0.0)) continue;
            CHECK(off(*m.driven->final_occupancy, m.driven->best->occupancy) < 1e-9);
            CHECK(m.detuning_hz < 0.0);
        }
        for (const ModeInCavity& m : given.modes) {
            CHECK(m.detuning_hz == -400e3);
            if (m.mode.g0_hz > 0.0) CHECK(m.driven->best->occupancy <= *m.driven->final_occupancy * (1.0 + 1e-9));
        }
        // C_q is proportional to the power.
        const ModeInCavity& m = given.modes.front();
        CHECK(off(*m.power_for_quantum_cooperativity_w, 10e-6 / m.driven->quantum_cooperativity) < 1e-9);
    }

    TEST_CASE("a blue laser above the unstable power drives the drum, and is warned of") {
        const std::string text = drum + light("60 um") + two_mirrors + "detuning = \"400 kHz\"\n";
        const CavityReport r = seen(text + "power = \"10 uW\"\n" + modes(2));
        REQUIRE(r.unstable.has_value());
        CHECK(r.unstable->detuning_hz == 400e3);
        CHECK(r.unstable_mode == "(1,1)");
        CHECK(r.unstable->power_w < 10e-6);
        CHECK_FALSE(r.modes.front().driven->final_occupancy.has_value());
        CHECK(warned(r, "driven-by-light"));
    }

    TEST_CASE("warm films in narrow cavities, missing power and clipped spots are warned of") {
        const CavityReport r = seen(drum + light("60 um") + two_mirrors + modes(2));
        CHECK(warned(r, "linear-readout"));
        CHECK(warned(r, "no-power"));
        CHECK_FALSE(r.modes.front().driven.has_value());
        CHECK(r.modes.front().power_for_quantum_cooperativity_w.has_value());
        CHECK_FALSE(warned(r, "clipped-spot"));
        CHECK(warned(seen(drum + light("300 um") + two_mirrors + modes(1)), "clipped-spot"));
        const CavityReport cold = seen(
            "[film]\nmaterial = \"nitride-stoichiometric\"\nthickness = \"50 nm\"\nstress = \"1 "
            "GPa\"\ntemperature = \"10 mK\"\n" +
            sample::square("1 mm") + light("60 um") + two_mirrors + modes(2));
        CHECK_FALSE(warned(cold, "linear-readout"));
    }

    TEST_CASE("strong light is told from weak coupling") {
        const std::string text = drum + light("60 um") + two_mirrors + "detuning = \"-400 kHz\"\npower = ";
        CHECK(warned(seen(text + "\"100 mW\"\n" + modes(1)), "weak-coupling"));
        CHECK_FALSE(warned(seen(text + "\"1 uW\"\n" + modes(1)), "weak-coupling"));
    }

    TEST_CASE("the film may be the end mirror, and a design without a cavity is refused") {
        const CavityReport r =
            seen(drum + light("20 um") +
                 "[cavity]\nlength = \"100 um\"\nposition = \"end\"\ninput_transmission = 0.1\n" + modes(1));
        CHECK(off(std::abs(r.travel.place.linear_coupling_hz_per_m),
                  constants::light_speed_m_per_s / 1064e-9 / 100e-6) < 0.2);  // a poor mirror bends the phase
        CHECK(warned(r, "low-finesse"));
        CHECK_THROWS_WITH_AS((void)seen(drum + light("20 um")), doctest::Contains("cavity: is missing"), InputError);
    }

    TEST_CASE("a report has the cavity's own figures, whatever spot its readout has") {
        const std::string lit = two_mirrors + "power = \"10 uW\"\n", wide = lit + "waist = \"90 um\"\n";
        const std::string cut = "[[openings]]\nshape = \"circle\"\ndiameter = \"400 um\"\n";
        const std::string beside = "position = [\"350 um\", \"0 um\"]\n";
        for (const std::string& text :
             {drum + light("60 um") + lit, drum + light("60 um") + wide, drum + light("60 um") + beside + wide + cut}) {
            const std::string design = text + "[solve]\nmodes = 2\naccuracy = 1e-2\n";
            const Report page = report(sample::design(design), sample::table());
            CHECK(page.prediction.by_splines == (text.find("openings") != std::string::npos));
            REQUIRE(page.cavity.has_value());
            CHECK(json_of(*page.cavity) == json_of(seen(design)));
        }
    }

    TEST_CASE("a report goes without the cavity where it has no answer, and says why") {
        const std::string text = drum + light("60 um"), few = "[solve]\nmodes = 1\naccuracy = 1e-2\n";
        const Report missed =
            report(sample::design(text + "position = [\"3 mm\", \"0 mm\"]\n" + two_mirrors + few), sample::table());
        CHECK_FALSE(missed.cavity.has_value());
        CHECK(missed.cavity_missing.find("readout.position lies beside the film") == 0);
        const Report unsolved =
            report(sample::design(text + two_mirrors + "[target]\nmode = \"(7,7)\"\n" + few), sample::table());
        CHECK_FALSE(unsolved.cavity.has_value());
        CHECK(unsolved.cavity_missing.find("'(7,7)' of [target]") != std::string::npos);
        const Report none = report(sample::design(text + few), sample::table());
        CHECK_FALSE(none.cavity.has_value());
        CHECK(none.cavity_missing.empty());
    }
}

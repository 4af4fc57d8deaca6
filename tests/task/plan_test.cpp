#include "tymbal/task/plan.h"
#include "support/approx.h"

#include "support/designs.h"
#include "tymbal/base/error.h"

#include <doctest/doctest.h>

#include <algorithm>
#include <cmath>

using namespace tymbal;

namespace {

const std::string chip = "[chip]\nwidth = \"10 mm\"\nlength = \"10 mm\"\nthickness = \"525 um\"\n";
const std::string over_silicon =
    "[release]\ngap = \"2 um\"\n[readout]\nwavelength = \"1064 nm\"\nspot_radius = \"5 um\"\npower = \"100 uW\"\n";

Plan planned(const std::string& text, const PlanOptions& options = {}) {
    return plan(sample::design(text), sample::table(), options);
}

}  // namespace

TEST_SUITE("reference") {
    TEST_CASE("trapped gas stiffens a sandwiched membrane by hundreds of hertz per pascal") {
        // Salimi et al., arXiv 2312.11915 (abstract): two 50 nm films 500 nm apart, 0.25 mm^2, more than 300 Hz/Pa. One
        // such film over a fixed wall, density 3000, 718 kHz: 235 Hz/Pa [computed from p/(8 pi^2 f rho h g)]
        const Plan p = planned(sample::film("50 nm", "1 GPa") + sample::square("500 um") +
                               "[release]\ngap = \"500 nm\"\n[solve]\nmodes = 1\n");
        const PlannedMode& m = p.modes.front();
        CHECK(*m.trapped_shift_hz_per_pa * m.frequency_hz / 718e3 * 3100.0 / 3000.0 ==
              sample::Approx(235.0).epsilon(0.01));
    }

    TEST_CASE("free molecules cap Q at 36 000 per pascal, so the pressure for a tenth of the loss follows") {
        // Christian, Vacuum 16, 175 (1966): air 300 K, 50 nm, 401.6 kHz: Q = 3.60e4 at 1 Pa, specular [computed]
        const Plan p = planned(sample::film("50 nm") + sample::square("1 mm") +
                               "[surroundings]\ngas = \"air\"\npressure = \"1e-6 mbar\"\n[solve]\nmodes = 1\n");
        const PlannedMode& m = p.modes.front();
        const double others = 1.0 / m.quality.value - 1e-4 / 3.6e4;
        CHECK(m.pressure_low_pa == sample::Approx(others / 9.0 * 3.6e4).epsilon(0.03));
        CHECK(*m.pressure_limit_pa > m.pressure_low_pa);
        CHECK(m.pressure_high_pa > *m.pressure_limit_pa);
    }

    TEST_CASE("the published thermal tuning of a low-stress membrane lies in the band of the table's expansions") {
        // arXiv 1704.05328 (abstract): +550 Hz/K on 447 kHz, a 478 nm membrane, that is +1230 ppm/K; its stress is not
        // in the abstract, the row's 135 +- 60 MPa is taken
        const Plan p =
            planned("[film]\nmaterial = \"nitride-silicon-rich\"\nthickness = \"478 nm\"\n" + sample::square("400 um") +
                    "[readout]\nwavelength = \"1064 nm\"\nspot_radius = \"20 um\"\n[solve]\nmodes = 1\n");
        CHECK(*p.heat->shift_per_kelvin > 0.0);
        CHECK(std::abs(*p.heat->shift_per_kelvin - 550.0 / 447e3) < p.heat->shift_per_kelvin_std);
    }

    TEST_CASE("local heating can tune a membrane by tens of per cent before it melts") {
        // Joeckel et al., Appl. Phys. Lett. 99, 143109 (2011), doi 10.1063/1.3646914 (abstract): up to 40 % by laser
        // heating. To lose 40 % of frequency a film of the table at 0.9 GPa must warm by some hundred kelvin on average
        const Plan p = planned(sample::film("50 nm", "0.9 GPa") + sample::square("500 um") +
                               "[readout]\nwavelength = \"780 nm\"\nspot_radius = \"20 um\"\n[solve]\nmodes = 1\n");
        const double per_mean_kelvin = std::abs(p.modes.front().shift_per_absorbed_watt) / p.heat->at_spot.mean_k_per_w;
        const double needed = 0.5 * (1.0 - 0.6 * 0.6) / per_mean_kelvin;  // df/f = ds/2s, f = 0.6 f0 at s = 0.36 s0
        CHECK(needed > 100.0);
        CHECK(needed < 1500.0);
    }

    TEST_CASE("a film of fixed constants shifts 45 ppm per kelvin of the chip, as expansions say") {
        // E/(1 - nu) (2.57e-6 - 2.3e-6)/(2 s), E 250 GPa, nu .25, 1 GPa [by hand]
        const Plan p =
            planned(sample::film("50 nm") + sample::square("300 um") + over_silicon + "[solve]\nmodes = 1\n");
        CHECK(*p.heat->shift_per_kelvin == sample::Approx(250e9 / 0.75 * 0.27e-6 / 2e9).epsilon(1e-6));
        CHECK(p.heat->cold.size() == 2);
        CHECK(p.heat->shift_share > p.heat->temperature_share);
        CHECK(p.light->slope_std_per_m > 0.0);
        CHECK(p.light->slope_std_per_m < p.light->best_slope_per_m);
    }
}

TEST_SUITE("unit") {
    TEST_CASE("every mode gets window, times, drive, signal, limits and neighbours") {
        const Plan p =
            planned(sample::film("50 nm") + sample::square("100 um") + chip + over_silicon + "[solve]\nmodes = 6\n");
        REQUIRE(p.modes.size() == 6);
        for (const PlannedMode& m : p.modes) {
            CHECK(m.timing.window_low_hz < m.frequency_hz);
            CHECK(m.drive_ceiling_m > 0.0);
            CHECK(m.best->overlap > 0.8);
            CHECK(*m.power_limit_w > *m.absorbed_limit_w);
            CHECK(m.shift_per_absorbed_watt < 0.0);
        }
        CHECK(p.modes.front().hidden.empty());
        CHECK(p.modes[1].hidden == "spot on a nodal line");
        CHECK(*p.modes.front().peak_over_shot_noise > 1.0);
        CHECK(p.modes.front().chip_radiation->low < p.modes.front().chip_radiation->high);
        CHECK(p.counted == 6);
    }

    TEST_CASE(
        "without any stated deviation windows had no width: the row's and 3 % of stress are taken, and it is said") {
        const Plan p = planned(sample::film("50 nm") + sample::square("500 um") + "[solve]\nmodes = 1\n");
        CHECK(p.assumed);
        // f follows sqrt(stress/density): half of 3 % and half of the row's 2 % [by hand]; bending adds little
        const double known =
            0.5 * std::hypot(0.03, sample::table().solids.at("nitride-stoichiometric").density->deviation_si() /
                                       sample::table().solids.at("nitride-stoichiometric").density->si());
        CHECK(p.modes.front().deviation_hz == sample::Approx(known * p.modes.front().frequency_hz).epsilon(0.01));
        CHECK(p.modes.front().timing.sweep_s > 1.0);
        const Plan stated =
            planned(sample::film("50 nm", "1.00 +- 0.01 GPa") + sample::square("500 um") + "[solve]\nmodes = 1\n");
        CHECK_FALSE(stated.assumed);
        CHECK(stated.modes.front().deviation_hz ==
              sample::Approx(0.005 * stated.modes.front().frequency_hz).epsilon(0.01));
    }

    TEST_CASE("a measured Q takes the place of the budget's, for widths, times and the pressure limit") {
        const std::string text = sample::film("50 nm") + sample::square("300 um") +
                                 "[surroundings]\ngas = \"nitrogen\"\npressure = \"1e-3 mbar\"\n[solve]\nmodes = 3\n";
        const Plan p = planned(text, {1e-4, 0.1, {}, {{"1,1", 2e6}}});
        const PlannedMode& m = p.modes.front();
        CHECK(m.measured);
        CHECK_FALSE(p.modes[1].measured);
        CHECK(m.timing.linewidth_hz == sample::Approx(m.frequency_hz / 2e6));
        // Gas makes a tenth of the measured loss at the limit, by the budget's own gas term at the design's pressure.
        const Prediction budget = sample::predict(text);
        for (const LossTerm& term : budget.modes.front().losses.terms)
            if (term.name == "gas")
                CHECK(*m.pressure_limit_pa ==
                      sample::Approx(0.1 * 0.1 * term.quality->value / 2e6).epsilon(0.02));  // 1e-3 mbar is 0.1 Pa
        const auto warned = [](const Warning& w) { return w.code == "gas-measured"; };
        CHECK(std::any_of(p.warnings.begin(), p.warnings.end(), warned));
        const auto of_predicted = [](const Warning& w) { return w.code == "gas-limited"; };
        CHECK(std::any_of(budget.warnings.begin(), budget.warnings.end(), of_predicted));
        CHECK(std::none_of(p.warnings.begin(), p.warnings.end(), of_predicted));
        CHECK_THROWS_WITH_AS((void)planned(text, {1e-4, 0.1, {}, {{"(9,9)", 2e6}}}),
                             doctest::Contains("no planned mode is called '(9,9)'"), NoAnswer);
    }

    TEST_CASE("a gap that cannot see says so, and names better light") {
        // 50 nm over 3.0 um on silicon at 1064 nm hardly sees (0.001 per um with n 2.0; n 2.011 moves the blind gap a
        // little), 633 and 1550 nm see
        const Plan p = planned(sample::film("50 nm") + sample::square("100 um") +
                               "[release]\ngap = \"3 um\"\n[readout]\nwavelength = \"1064 nm\"\nspot_radius = \"5 "
                               "um\"\n[solve]\nmodes = 1\n");
        CHECK(
            std::any_of(p.warnings.begin(), p.warnings.end(), [](const Warning& w) { return w.code == "blind-gap"; }));
        CHECK(p.light->blind);
        for (const Landmark& line : p.light->usual)
            if (line.at == 633e-9 || line.at == 1550e-9) CHECK(std::abs(line.slope_per_m) > 0.8e6);
    }

    TEST_CASE("one spot for chosen modes serves them better than one for all, and unknown labels are refused") {
        const std::string text =
            sample::film("50 nm") + sample::square("100 um") + over_silicon + "[solve]\nmodes = 6\n";
        const Plan all = planned(text), some = planned(text, {1e-4, 0.1, {"(1,1)", "(2,2)"}});
        CHECK(some.common_spot->overlap > all.common_spot->overlap);
        CHECK_THROWS_WITH_AS((void)planned(text, {1e-4, 0.1, {"(9,9)"}}), doctest::Contains("no planned mode"),
                             NoAnswer);
    }

    TEST_CASE("orders beside the zero one cross a narrow gap, and the plan says whether they do") {
        const auto light = [&](const char* gap) {
            return *planned(sample::film("190 nm") + sample::square("40 um") +
                            "[holes]\nlattice = \"square\"\ndiameter = \"0.8 um\"\npitch = \"1.295 um\"\nmargin = \"4 "
                            "um\"\n"
                            "[release]\ngap = \"" +
                            gap +
                            "\"\n[readout]\nwavelength = \"1500 nm\"\nspot_radius = \"10 um\"\n"
                            "[solve]\nmodes = 1\naccuracy = 1e-2\n")
                        .light;
        };
        const LightPlan near = light("0.5 um"), far = light("4 um");
        CHECK(near.coupled);
        CHECK(near.coupling > 1e-3);
        CHECK(!far.coupled);
        CHECK(far.coupling < 1e-4);
        CHECK(near.here.error > 0.0);
        // The landmarks are those of the same solution: the slope vanishes where it says so.
        CHECK(!near.gaps.blind.empty());
        for (const Landmark& blind : near.gaps.blind) CHECK(std::abs(blind.slope_per_m) < 1e-3 * near.best_slope_per_m);
        CHECK(std::abs(near.here.slope_per_m) <= 1.001 * near.best_slope_per_m);
    }

    TEST_CASE("a through-hole has no slope, no gap and no chip light") {
        const Plan p = planned(sample::film("50 nm") + sample::square("300 um") +
                               "[readout]\nwavelength = \"1064 nm\"\nspot_radius = \"20 um\"\n[solve]\nmodes = 2\n");
        CHECK(p.light->below == "none");
        CHECK(p.light->here.slope_per_m == 0.0);
        CHECK_FALSE(p.modes.front().peak_relative_per_rthz);
        CHECK_FALSE(p.modes.front().trapped_shift_hz_per_pa);
    }

    TEST_CASE("a chip of a row without density or elastic constants has no modes: the row and its cure are named") {
        // Rows as a user's own table may have them: silicon with something left out.
        Materials own = sample::table();
        Solid heavy = own.solids.at("silicon"), bare = heavy;
        heavy.row = "heavy";
        heavy.youngs_modulus.reset();
        heavy.crystal.reset();
        bare.row = "bare";
        bare.density.reset();
        own.solids["heavy"] = heavy;
        own.solids["bare"] = bare;
        const auto planned_on = [&](const std::string& row) {
            const std::string text =
                sample::film("50 nm") + sample::square("100 um") + chip + "material = \"" + row + "\"\n";
            (void)plan(parse_device(text + "[solve]\nmodes = 1\n", "test.toml", own), own, {});
        };
        CHECK_THROWS_WITH_AS(planned_on("heavy"),
                             "the material row 'heavy' of the chip has no elastic constants; give it youngs_modulus "
                             "and poisson_ratio, or name another in chip.material",
                             NoAnswer);
        CHECK_THROWS_WITH_AS(planned_on("bare"), doctest::Contains("'bare' of the chip has no density; give it one"),
                             NoAnswer);
    }

    TEST_CASE("a plate without tension has no shift by the chip's warmth and no Weyl count, but all the rest") {
        const Plan p = planned(sample::film("5 um", "0 GPa") + sample::square("200 um") +
                               "[readout]\nwavelength = \"1064 nm\"\nspot_radius = \"20 um\"\n[solve]\nmodes = 2\n");
        CHECK_FALSE(p.heat->shift_per_kelvin);
        CHECK_FALSE(p.weyl);
        CHECK(p.modes.front().drive_ceiling_m > 0.0);
        CHECK(p.modes.front().shift_per_absorbed_watt < 0.0);
    }
}

TEST_SUITE("invariant") {
    TEST_CASE("allowed shift and share of gas scale the limits as they must") {
        const std::string text =
            sample::film("50 nm") + sample::square("100 um") + over_silicon + "[solve]\nmodes = 2\n";
        const Plan a = planned(text), b = planned(text, {2e-4, 0.5, {}});
        CHECK(*b.modes[0].absorbed_limit_w == sample::Approx(2.0 * *a.modes[0].absorbed_limit_w));
        CHECK(*b.modes[0].pressure_limit_pa == sample::Approx(9.0 * *a.modes[0].pressure_limit_pa));
    }
}

TEST_SUITE("convergence") {
    TEST_CASE("the plan's three grids err by less than they say, field by field") {
        for (const char* holes :
             {"lattice = \"triangular\"\ndiameter = \"2 um\"\npitch = \"5 um\"\n",
              "lattice = \"square\"\ndiameter = \"3 um\"\npitch = \"6 um\"\nangle = \"20 deg\"\n",
              "lattice = \"honeycomb\"\ndiameter = \"1.5 um\"\npitch = \"4 um\"\nmargin = \"9 um\"\n"}) {
            CAPTURE(holes);
            const std::string text =
                sample::film("100 nm") + sample::square("120 um") + "[holes]\n" + holes + "[solve]\nmodes = 10\n";
            const Plan brief = planned(text);
            const Prediction fine = sample::predict(text + "accuracy = 5e-5\n");
            for (std::size_t k = 0; k < 10; ++k) {
                const Mode& sure = fine.modes[k].mode;
                CHECK(std::abs(brief.modes[k].frequency_hz - sure.frequency_hz) <
                      brief.modes[k].numerics_hz + sure.discretisation_error_hz);
            }
        }
    }
}

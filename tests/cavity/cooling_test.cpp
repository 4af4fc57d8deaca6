#include "tymbal/cavity/cooling.h"
#include "tymbal/base/constants.h"

#include <doctest/doctest.h>

#include <cmath>
#include <random>

using namespace tymbal;

namespace {

double off(double value, double wanted) {
    return std::abs(value / wanted - 1.0);
}

// 1 mm square drum of 50 nm, 3100 kg/m^3, 1 GPa: 401.610 kHz, 38.75 ng; Q 1e7; cavity of 10 mm, mirrors of 100 and 10
// ppm: kappa/2pi 262.42 kHz, c T1/(2 L)/2pi = 238.57 kHz of it through the input mirror.
CavityLine reference_line() {
    return {1064e-9, 262.42e3, 238.567e3};
}

CoupledMode reference_mode(double temperature_k) {
    const double f = 401.610e3;
    return {f, f / 1e7, constants::boltzmann_j_per_k * temperature_k / (constants::planck_j_s * f), 15.946};
}

/// States of a cavity whose resonance gives way by `shift` per photon: real roots of n (k^2/4 + (d + s n)^2) = p.
int steady_states(double kappa, double shift, double detuning, double drive) {
    int changes = 0;
    bool above = false;
    const double most = 4.0 * drive / (kappa * kappa);
    for (int k = 0; k <= 20000; ++k) {
        const double n = most * k / 20000.0, away = detuning + shift * n;
        const bool now = n * (0.25 * kappa * kappa + away * away) > drive * (1.0 - 1e-12);
        if (now != above) ++changes;
        above = now;
    }
    return changes;
}

}  // namespace

TEST_SUITE("unit") {
    TEST_CASE("light too weak to cool had a best detuning: the end of the search") {
        const CavityLine line = reference_line();
        const CoupledMode mode = reference_mode(300.0);
        CHECK_FALSE(best_detuning(line, mode, 1e-30).has_value());
        const auto weak = best_detuning(line, mode, 1e-12);
        REQUIRE(weak.has_value());
        CHECK(weak->occupancy < mode.thermal_occupancy);
        CHECK(weak->detuning_hz < -0.1 * line.kappa_hz);
        CHECK(weak->detuning_hz > -3.0 * mode.frequency_hz);
    }
}

TEST_SUITE("reference") {
    TEST_CASE("ten microwatts on a reference drum: photons, cooperativity, spring, damping and quanta") {
        // Values [computed: prototype in Python from the same rates of Marquardt et al. (2007) and Aspelmeyer et al.
        // (2014)], to the digits given there
        const CavityLine line = reference_line();
        const CoupledMode mode = reference_mode(300.0);
        const CavityDrive sideband{10e-6, -mode.frequency_hz};
        CHECK(off(photons(line, sideband), 1.1393e7) < 1e-4);
        const double c0 = single_photon_cooperativity(line, mode), c = c0 * photons(line, sideband);
        CHECK(off(c0, 0.09651) < 1e-4);
        CHECK(off(c, 1.0995e6) < 1e-4);
        CHECK(off(c / mode.thermal_occupancy, 0.0706) < 1e-3);
        CHECK(off(optical_force(line, mode, sideband).damping_hz, 43.01e3) < 2e-4);
        CHECK(off(optical_force(line, mode, sideband).spring_hz, -3.513e3) < 2e-4);
        CHECK(off(*final_occupancy(line, mode, sideband), 14.56) < 4e-4);
        CHECK(off(*final_occupancy(line, reference_mode(4.0), sideband), 0.2205) < 4e-4);
        const CavityDrive flank{10e-6, -0.5 * line.kappa_hz};
        CHECK(off(photons(line, flank), 5.906e7) < 2e-4);
        CHECK(off(optical_force(line, mode, flank).damping_hz, 30.54e3) < 2e-4);
        CHECK(off(optical_force(line, mode, flank).spring_hz, 18.38e3) < 2e-4);
        CHECK(off(*final_occupancy(line, mode, flank), 20.9) < 1e-3);
        CHECK(off(bistable_photons(line, 2.0 * mode.g0_hz * mode.g0_hz / mode.frequency_hz), 1.595e8) < 3e-4);
    }

    TEST_CASE("at Delta = -Omega back-action alone leaves (kappa/4 Omega)^2 quanta") {
        // Marquardt et al., Phys. Rev. Lett. 99, 093902 (2007) (from memory): .02669 for the reference drum
        const CavityLine line = reference_line();
        CoupledMode quiet = reference_mode(300.0);
        quiet.thermal_occupancy = 0.0;
        quiet.linewidth_hz = 1e-9;
        const double left = *final_occupancy(line, quiet, {1e-6, -quiet.frequency_hz});
        CHECK(off(left, 0.02669) < 2e-4);
        CHECK(off(left, std::pow(line.kappa_hz / (4.0 * quiet.frequency_hz), 2)) < 1e-6);
    }
}

TEST_SUITE("invariant") {
    TEST_CASE("no detuning of a fine scan cools better than the best one") {
        std::mt19937 random(11);
        int tried = 0;
        const auto between = [&](double low, double high) {
            return std::exp(std::uniform_real_distribution<double>(std::log(low), std::log(high))(random));
        };
        for (int k = 0; k < 200; ++k) {
            const double kappa = between(1e3, 1e9);
            const CavityLine line{1064e-9, kappa, 0.7 * kappa};
            const CoupledMode mode{between(1e4, 1e7), between(1e-3, 10.0), between(10.0, 1e8), between(1e-2, 1e3)};
            const double power = between(1e-12, 1e-2);
            const auto best = best_detuning(line, mode, power);
            // Beyond weak coupling the rates do not hold, and the best lies wherever the spring is just left.
            const auto coupling = [&](double d) { return mode.g0_hz * std::sqrt(photons(line, {power, d})); };
            if (!best || coupling(best->detuning_hz) > 0.25 * kappa) continue;
            ++tried;
            CAPTURE(k);
            REQUIRE(best->detuning_hz < 0.0);
            for (double s = -12.0; s < 12.0; s += 0.01) {
                const double detuning = -mode.frequency_hz * std::exp(s);
                const auto other = final_occupancy(line, mode, {power, detuning});
                if (other) REQUIRE(best->occupancy <= *other * (1.0 + 1e-6));
            }
        }
        CHECK(tried > 100);
    }

    TEST_CASE("more power cools down to the least occupancy that back-action leaves, and never below") {
        for (const double kappa : {1e3, 100e3, 3e6}) {
            CAPTURE(kappa);
            const CavityLine line{1064e-9, kappa, kappa};
            CoupledMode mode = reference_mode(300.0);
            mode.g0_hz = 1e-3;
            mode.linewidth_hz = 1e-20;  // so that light does all, and takes no spring away
            mode.thermal_occupancy = 100.0;
            const auto best = best_detuning(line, mode, 1e-6);
            REQUIRE(best.has_value());
            CHECK(off(best->occupancy, back_action_limit(line, mode)) < 1e-3);
            CHECK(best->occupancy >= back_action_limit(line, mode) * (1.0 - 1e-9));
            CHECK(off(best->detuning_hz, -std::hypot(mode.frequency_hz, 0.5 * kappa)) < 0.02);
        }
    }

    TEST_CASE("at the unstable power the light takes away just the mode's damping, and no blue detuning needs less") {
        const CavityLine line = reference_line();
        const CoupledMode mode = reference_mode(300.0);
        const auto least = least_unstable_power(line, mode);
        REQUIRE(least.has_value());
        const CavityDrive at{least->power_w, least->detuning_hz};
        CHECK(off(optical_force(line, mode, at).damping_hz, -mode.linewidth_hz) < 1e-9);
        CHECK_FALSE(final_occupancy(line, mode, {1.01 * least->power_w, least->detuning_hz}).has_value());
        CHECK(final_occupancy(line, mode, {0.99 * least->power_w, least->detuning_hz}).has_value());
        for (double d = 1e4; d < 2e6; d *= 1.01)
            CHECK(unstable_power(line, mode, d)->power_w >= least->power_w * (1 - 1e-9));
        CHECK_FALSE(unstable_power(line, mode, -1e5).has_value());
    }

    TEST_CASE("a resonance that gives way has two stable states above the bistable power and one below") {
        const double kappa = 262.42e3, shift = 2.0 * 15.946 * 15.946 / 401.61e3;
        const CavityLine line{1064e-9, kappa, kappa};
        const double critical = 0.25 * kappa * kappa * bistable_photons(line, shift);  // of n (kappa^2/4 + ...)
        int below = 1, above = 1;
        for (double detuning = -3.0 * kappa; detuning < kappa; detuning += 0.002 * kappa) {
            below = std::max(below, steady_states(kappa, shift, detuning, 0.99 * critical));
            above = std::max(above, steady_states(kappa, shift, detuning, 1.05 * critical));
        }
        CHECK(below == 1);
        CHECK(above == 3);
    }

    TEST_CASE("on resonance a narrow cavity filters back-action, a wide one does not, and feedback follows it") {
        const CoupledMode mode = reference_mode(300.0);
        const CavityLine wide{1064e-9, 1e9, 1e9};
        const double c = single_photon_cooperativity(wide, mode) * photons(wide, {1e-3, 0.0});
        CHECK(off(back_action_quanta(wide, mode, 1e-3), c) < 1e-5);
        const CavityLine line = reference_line();
        CHECK(back_action_quanta(line, mode, 1e-3) <
              single_photon_cooperativity(line, mode) * photons(line, {1e-3, 0.0}) / 10.0);
        // all light detected and no thermal motion beside back-action: nothing is left; half lost: (sqrt2 - 1)/2
        CoupledMode cold = mode;
        cold.thermal_occupancy = 0.0;
        CHECK(std::abs(*feedback_limit(wide, cold, 1e-3)) < 1e-12);
        CHECK(off(*feedback_limit({1064e-9, 1e9, 0.5e9}, cold, 1e-3), 0.5 * (std::sqrt(2.0) - 1.0)) < 1e-12);
        CHECK_FALSE(feedback_limit(wide, mode, 0.0).has_value());
    }

    TEST_CASE("a mode that the light does not meet keeps its quanta and has no best detuning") {
        CoupledMode mode = reference_mode(300.0);
        mode.g0_hz = 0.0;
        CHECK(off(*final_occupancy(reference_line(), mode, {1e-3, -4e5}), mode.thermal_occupancy) < 1e-14);
        CHECK_FALSE(best_detuning(reference_line(), mode, 1e-3).has_value());
        CHECK_FALSE(least_unstable_power(reference_line(), mode).has_value());
    }
}

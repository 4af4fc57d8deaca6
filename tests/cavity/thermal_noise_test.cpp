#include "tymbal/cavity/thermal_noise.h"
#include "tymbal/base/constants.h"

#include <doctest/doctest.h>

#include <cmath>

using namespace tymbal;

namespace {

constexpr double pi = constants::pi;

double off(double value, double wanted) {
    return std::abs(value / wanted - 1.0);
}

/// Power behind a cavity at one detuning in half widths.
double power(double u) {
    return 1.0 / (1.0 + u * u);
}

/// Amplitude at the sum of two tones' frequencies of the power behind a cavity, by means over both phases.
double mixed_amplitude(double u, double a, double b) {
    constexpr int phases = 64;
    double sum = 0.0;
    for (int i = 0; i < phases; ++i)
        for (int j = 0; j < phases; ++j) {
            const double p = 2.0 * pi * i / phases, q = 2.0 * pi * j / phases;
            sum += power(u + a * std::cos(p) + b * std::cos(q)) * 2.0 * std::cos(p + q);
        }
    return sum / (phases * phases);
}

}  // namespace

TEST_SUITE("reference") {
    TEST_CASE("a drum at room temperature moves the resonance by a third of its width") {
        // 38.75 ng at 401.610 kHz, 300 K: 4.1 pm, 89 kHz rms at 21.715 MHz/nm, 2 G x/kappa = .68 [computed]
        const double stiffness = 38.75e-12 * std::pow(2.0 * pi * 401.610e3, 2);
        const double rms = thermal_rms_hz(21.715e15, stiffness, 300.0);
        CHECK(off(rms, 89e3) < 1e-3);
        CHECK(off(2.0 * rms / 262.42e3, 0.68) < 5e-3);
    }
}

TEST_SUITE("invariant") {
    TEST_CASE("noise on and off a line adds up to its variance") {
        const ThermalTone tone{1e5, 2e3, 70.0};
        double variance = 0.0;
        const double step = 10.0;
        for (double f = 0.5 * step; f < 2e6; f += step) variance += step * std::pow(noise_hz_per_rthz(tone, f), 2);
        CHECK(off(variance, 70.0 * 70.0) < 1e-4);  // beyond, a part of 2 Gamma/(3 pi f) (f/20)^-3 is left
    }

    TEST_CASE("two small tones mix on the flank of a resonance as the second order says") {
        for (const double u : {0.2, 0.5, 1.0, 3.0}) {
            CAPTURE(u);
            const double a = 1e-3, b = 2e-3, kappa = 1e6;
            // Steady amplitudes sqrt2 times the rms; the tone as noise that would look alike, in half widths.
            const double slope = std::abs(-2.0 * u) / std::pow(1.0 + u * u, 2);
            const double expected = std::abs(mixed_amplitude(u, a, b)) / std::sqrt(2.0) / slope * 0.5 * kappa;
            const double half = 0.5 * kappa / std::sqrt(2.0);
            const auto mixed = mixed_tones({{1e5, 1.0, a * half}, {3e5, 2.0, b * half}}, kappa, 0.5 * kappa * u);
            int found = 0;
            for (const MixedTone& m : mixed) {
                if (m.first == m.second) continue;
                ++found;
                CHECK(off(m.tone.rms_hz, expected) < 1e-4);
                CHECK(m.tone.frequency_hz == (m.sum ? 4e5 : 2e5));
                CHECK(m.tone.linewidth_hz == 3.0);
            }
            CHECK(found == 2);
        }
    }

    TEST_CASE("mixing vanishes at Delta = kappa/(2 sqrt3), and on resonance power has no first order to compare with") {
        const std::vector<ThermalTone> tones{{1e5, 1.0, 10.0}, {3e5, 1.0, 10.0}};
        const double kappa = 1e6, quiet = kappa / (2.0 * std::sqrt(3.0));
        for (const MixedTone& m : mixed_tones(tones, kappa, quiet)) CHECK(m.tone.rms_hz < 1e-12);
        for (const MixedTone& m : mixed_tones(tones, kappa, 2.0 * quiet)) CHECK(m.tone.rms_hz > 1e-6);
        CHECK(mixed_tones(tones, kappa, 0.0).empty());
    }
}

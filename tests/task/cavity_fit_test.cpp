#include "tymbal/task/cavity_fit.h"

#include "support/approx.h"
#include "support/designs.h"

#include "tymbal/base/error.h"
#include "tymbal/task/compare.h"

#include <doctest/doctest.h>

#include <algorithm>
#include <cmath>
#include <random>

using namespace tymbal;
using sample::Approx;

namespace {

const std::string drum =
    sample::film("50 nm") + "index = 2.0\nextinction = 0\n" + sample::square("1 mm") +
    "[readout]\nwavelength = \"1064 nm\"\nspot_radius = \"50 um\"\n"
    "[cavity]\nlength = \"10 mm\"\ninput_transmission = 100e-6\nend_transmission = 10e-6\n[solve]\nmodes = 4\n";
const std::string power = "power = \"100 nW\"\n";

std::string with_power(std::string text) {
    return text.insert(text.find("[solve]"), power);
}

/// Lines of the lowest mode with the film at a place of its travel, by the rates of cooling.h; a made measurement.
Measured made(const CavityReport& r, const CavityPoint& place, double noise_hz, unsigned seed) {
    const double part = std::abs(place.linear_coupling_hz_per_m / r.travel.place.linear_coupling_hz_per_m);
    CoupledMode mode = r.modes[0].mode;
    mode.g0_hz *= part;
    std::mt19937_64 random(seed);
    std::normal_distribution<double> normal;
    Measured out;
    out.file = "scan.csv";
    for (int k = 0; k < 16; ++k) {
        const CavityDrive drive{100e-9, -30e3 - 40e3 * k};
        const OpticalForce force = optical_force({r.wavelength_m, place.kappa_hz, place.kappa_input_hz}, mode, drive);
        Peak peak;
        peak.detuning_hz = drive.detuning_hz;
        peak.deviation_hz = noise_hz;
        peak.frequency_hz = mode.frequency_hz + force.spring_hz + noise_hz * normal(random);
        const double width = std::max(0.1, mode.linewidth_hz + force.damping_hz + noise_hz * normal(random));
        peak.quality = peak.frequency_hz / width;
        peak.quality_deviation = *peak.quality * noise_hz / width;
        out.peaks.push_back(peak);
    }
    return out;
}

bool warned_of(const CavityFit& fit, const std::string& code) {
    return std::any_of(fit.warnings.begin(), fit.warnings.end(), [&](const Warning& w) { return w.code == code; });
}

}  // namespace

TEST_SUITE("invariant") {
    TEST_CASE("a film anywhere on its travel is found there: coupling, kappa and place") {
        const Device device = sample::design(with_power(drum));
        const CavityReport r = see_cavity(device, sample::table());
        int right = 0, all = 0;
        for (std::size_t k = 8; k < r.travel.points.size(); k += 24) {
            const CavityPoint& place = r.travel.points[k];
            const double part = std::abs(place.linear_coupling_hz_per_m / r.travel.place.linear_coupling_hz_per_m);
            if (part < 0.2) continue;  // a turning point couples next to nothing
            const CavityFit fit = fit_cavity(device, sample::table(), made(r, place, 1.0, static_cast<unsigned>(k)));
            ++all;
            right += std::abs(fit.of_best_place - part) < 2.0 * fit.of_best_place_deviation ? 1 : 0;
            CAPTURE(place.position_m);
            CHECK(fit.mode.index == 1);
            CHECK(fit.fit.kappa_hz == Approx(place.kappa_hz).epsilon(0.05));
            CHECK(fit.of_best_place == Approx(part).epsilon(0.1));
            CHECK_FALSE(warned_of(fit, "coupling-too-large"));
        }
        CHECK(all >= 5);
        CHECK(right >= all - 1);
    }
}

TEST_SUITE("unit") {
    TEST_CASE("more coupling than the best place has is warned of, as is a mode that rings elsewhere") {
        const Device device = sample::design(with_power(drum));
        const CavityReport r = see_cavity(device, sample::table());
        Measured lines = made(r, r.travel.place, 1.0, 3);
        CHECK_FALSE(warned_of(fit_cavity(device, sample::table(), lines), "coupling-too-large"));
        lines.conditions.power_w = 50e-9;  // half the power of which the lines are
        const CavityFit fit = fit_cavity(device, sample::table(), lines);
        CHECK(fit.power_w == 50e-9);
        CHECK(fit.of_best_place == Approx(std::sqrt(2.0)).epsilon(0.05));
        CHECK(warned_of(fit, "coupling-too-large"));
        CHECK_FALSE(fit.place.has_value());
    }

    TEST_CASE("a scan without power, with a gap, or beside a list of modes is refused with the cure") {
        const Device lit = sample::design(with_power(drum)), dark = sample::design(drum);
        const CavityReport r = see_cavity(lit, sample::table());
        Measured lines = made(r, r.travel.place, 1.0, 3);
        CHECK(has_detunings(lines));
        CHECK_THROWS_WITH_AS((void)fit_cavity(dark, sample::table(), lines), doctest::Contains("laser power"),
                             InputError);
        CHECK_THROWS_WITH_AS((void)compare({{lit, lines}}, sample::table(), {}), doctest::Contains("detuning"),
                             InputError);
        const Device free = sample::design(sample::film("50 nm") + sample::square("1 mm"));
        CHECK_THROWS_WITH_AS((void)fit_cavity(free, sample::table(), lines), doctest::Contains("[cavity]"), InputError);
        lines.peaks[4].detuning_hz.reset();
        lines.peaks[4].line = 9;
        CHECK_THROWS_WITH_AS((void)fit_cavity(lit, sample::table(), lines), doctest::Contains("scan.csv:9: detuning"),
                             InputError);
    }
}

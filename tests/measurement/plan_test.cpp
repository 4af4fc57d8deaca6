#include "support/approx.h"
#include "tymbal/measurement/measurement.h"
#include "tymbal/measurement/neighbours.h"
#include "tymbal/measurement/spots.h"

#include "tymbal/readout/readout.h"

#include <doctest/doctest.h>

#include <cmath>

using namespace tymbal;

namespace {

constexpr double pi = 3.14159265358979323846;

ShapeRaster sine(int m, int n, int cells = 64) {
    const double side = 100e-6;
    ShapeRaster r{cells + 1, cells + 1, -0.5 * side, -0.5 * side, side / cells, side / cells, {}};
    for (int j = 0; j <= cells; ++j)
        for (int i = 0; i <= cells; ++i) r.w.push_back(std::sin(m * pi * i / cells) * std::sin(n * pi * j / cells));
    return r;
}

Mode mode(int index, const std::string& label, double frequency, double error) {
    Mode m;
    m.index = index;
    m.label = label;
    m.frequency_hz = frequency;
    m.discretisation_error_hz = error;
    return m;
}

}  // namespace

TEST_SUITE("reference") {
    TEST_CASE("times of a ring-down: amplitude exp(-pi f t/Q), 27.3 f/Q dB per second") {
        // common conventions of the trade; 27.3 = 20 pi log10(e)
        const Timing t = timing(1e6, 1e3, {1e6, 5e5, 2e6});
        CHECK(t.linewidth_hz == sample::Approx(1.0));
        CHECK(t.narrowest_hz == sample::Approx(0.5));
        CHECK(t.widest_hz == sample::Approx(2.0));
        CHECK(t.ring_up_s == sample::Approx(1.0 / pi));
        CHECK(t.energy_time_s == sample::Approx(0.5 / pi));
        CHECK(t.decay_db_per_s == sample::Approx(27.2875).epsilon(1e-4));
        CHECK(t.window_high_hz - t.window_low_hz == sample::Approx(4e3));
    }

    TEST_CASE("half a megahertz in 0.2 Hz steps with settling takes months") {
        // 2.5 million steps of 1.4 s are 40 days [computed apart from this program, settling for 1.7 amplitude times];
        // three amplitude times of a line 0.4 Hz wide are 2.4 s
        const double width = 0.4;
        const Timing t = timing(1e6, 0.125e6, {1e6 / width, 1e6 / width, 1e6 / width});
        CHECK(t.step_hz == sample::Approx(0.2));
        CHECK(t.sweep_s / 86400.0 == sample::Approx(40.0 * 3.0 / 1.74).epsilon(0.01));
    }

    TEST_CASE("thermal peak and rms agree: a line of Lorentzian shape holds kB T/2 of energy") {
        // area of a Lorentzian: (pi/2) peak * full width
        const double f = 400e3, m = 40e-12, q = 1e6, t = 295.0;
        const double peak = thermal_peak_m_per_rthz(f, m, q, t), rms = thermal_rms_m(f, m, t);
        CHECK(0.5 * pi * peak * peak * f / q == sample::Approx(rms * rms).epsilon(1e-12));
        CHECK(m * std::pow(2.0 * pi * f * rms, 2) == sample::Approx(1.380649e-23 * t));
    }

    TEST_CASE("shot noise of a milliwatt at 1064 nm is 1.93e-8 per root hertz") {
        // sqrt(2 h c/(lambda P)), CODATA constants: h c/lambda = 1.86696e-19 J
        CHECK(shot_noise_per_rthz(1064e-9, 1e-3) == sample::Approx(1.9324e-8).epsilon(1e-4));
    }

    TEST_CASE("Weyl's law with its rim term counts the modes of a square") {
        // exact count of m^2 + n^2 <= (2 L f/c)^2, m and n from 1
        const double side = 1e-3, c = 568.0;
        for (const double f : {2e6, 4e6, 8e6}) {
            const double r = 2.0 * side * f / c;
            int exact = 0;
            for (int a = 1; a < r; ++a) exact += static_cast<int>(std::sqrt(std::max(0.0, r * r - a * a)));
            CHECK(std::abs(weyl_count(side * side, 4.0 * side, c, f) - exact) < 2.0 + 0.01 * exact);
        }
    }
}

TEST_SUITE("unit") {
    TEST_CASE("the overlap map is the spot's mean at every point of the raster") {
        const ShapeRaster shape = sine(2, 3, 20);
        const double radius = 12e-6;
        const auto map = overlap_map(shape, radius);
        for (const auto& [i, j] : {std::pair{4, 6}, {10, 10}, {13, 7}})
            CHECK(map[static_cast<std::size_t>(i + shape.columns * j)] ==
                  sample::Approx(spot_mean(shape, {shape.x0 + i * shape.dx, shape.y0 + j * shape.dy}, radius))
                      .scale(1.0)
                      .epsilon(1e-9));
    }

    TEST_CASE("one mode is best seen at its antinode, two at a place where both move") {
        const ShapeRaster one = sine(1, 1), two = sine(2, 1);
        const auto a = overlap_map(one, 5e-6), b = overlap_map(two, 5e-6);
        const SpotChoice alone = best_spot(one, {&a});
        CHECK(std::hypot(alone.at.x, alone.at.y) < 1e-9);
        const SpotChoice both = best_spot(one, {&a, &b});
        // sin x = sin 2x at a third of the side: 16.7 um from the centre, where both are sqrt(3)/2
        CHECK(std::abs(both.at.x) == sample::Approx(100e-6 / 6.0).epsilon(0.1));
        CHECK(both.overlap == sample::Approx(0.866 * std::exp(-1.7 * std::pow(pi * 5e-6 / 100e-6, 2))).epsilon(0.03));
    }

    TEST_CASE("(2,2) of a square is not told from twice (1,1), (2,1) is") {
        const std::vector<Mode> modes{mode(1, "(1,1)", 1e6, 100.0), mode(2, "(2,1)", 1.5811e6, 100.0),
                                      mode(3, "(2,2)", 2e6 + 300.0, 100.0)};
        CHECK_FALSE(nearest_harmonic(modes, 0, 1.0));
        CHECK_FALSE(nearest_harmonic(modes, 1, 1.0)->within);
        const auto twin = nearest_harmonic(modes, 2, 1.0);
        CHECK(twin->within);
        CHECK(twin->name == "2 x (1,1)");
        CHECK(twin->offset_hz == sample::Approx(-300.0));
    }

    TEST_CASE("the nearest mode of the chip is named, and counts as met where the errors of both reach") {
        const auto chip_mode = [](double frequency, double error, double thick) {
            PlateMode m;
            m.frequency_hz = frequency;
            m.error_hz = error;
            m.thick_hz = thick;
            return m;
        };
        // Shear takes 2 kHz off the second, which then lies at 998 kHz.
        const std::vector<PlateMode> chip{chip_mode(0.9e6, 10.0, 0.0), chip_mode(1e6, 100.0, 2e3),
                                          chip_mode(1.2e6, 10.0, 0.0)};
        CHECK_FALSE(nearest_chip_mode({}, 1e6, 0.0));
        const auto met = nearest_chip_mode(chip, 0.9991e6, 10.0);
        REQUIRE(met);
        CHECK(met->name == "chip mode 2");
        CHECK(met->at_hz == sample::Approx(0.998e6));
        CHECK(met->offset_hz == sample::Approx(-1.1e3));
        CHECK(met->within);  // 2 * 10 + 100 + 1000 Hz
        CHECK_FALSE(nearest_chip_mode(chip, 0.9992e6, 10.0)->within);
    }

    TEST_CASE("gas takes its share of the whole at the pressure given") {
        const double p = pressure_for_share(0.1, 2e-6, 1e-6);
        CHECK(2e-6 * p / (2e-6 * p + 1e-6) == sample::Approx(0.1));
    }
}

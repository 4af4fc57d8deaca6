// Devices of one chip fitted together: they share film, undercut and over-etch.
#include "support/approx.h"
#include "tymbal/base/error.h"

#include "made_devices.h"

#include <doctest/doctest.h>

#include <algorithm>
#include <cmath>
#include <vector>

using namespace tymbal;
using namespace tymbal::made;
using tymbal::sample::Approx;

namespace {

/// Squares whose sides lie `growth` further out on every edge than `sides`. Designs are drawn larger than `sides` by
/// `off`, and nothing of the film but its stress is unknown.
Comparison on_ladder(const std::vector<double>& sides, double growth, double off, int modes = 10) {
    std::vector<DeviceInput> devices;
    synthetic::Dice dice(7);
    for (const double side : sides) {
        const std::string drawn = std::to_string(1e6 * (side + off)) + " um";
        devices.push_back({sample::design(sample::film("100 nm") + sample::square(drawn)),
                           square_list(side + 2.0 * growth, modes, dice)});
    }
    return compare(devices, sample::table(), {});
}

}  // namespace

TEST_SUITE("reference") {
    // Squares whose true sides are 2 x `growth` longer than `sides`, measured to 5e-5; designs may be off by more.
    TEST_CASE("growth was fitted to first order: 36 deviations off when the sides are 5 % longer than drawn") {
        struct Ladder {
            std::vector<double> sides;
            double growth;
        };
        for (const Ladder& ladder :
             {Ladder{{120e-6, 240e-6}, 3e-6}, Ladder{{50e-6, 100e-6}, 1e-6}, Ladder{{60e-6, 120e-6, 240e-6}, 3e-6}})
            for (const double start : {1.0, 0.8, 1.2}) {  // of the smallest true side
                const double smallest = ladder.sides.front() + 2.0 * ladder.growth;
                const double off = start == 1.0 ? 0.0 : smallest * start - ladder.sides.front();
                CAPTURE(ladder.sides.front());
                CAPTURE(ladder.sides.size());
                CAPTURE(start);
                const Comparison c = on_ladder(ladder.sides, ladder.growth, off);
                const FittedValue growth = named(c, "outline.growth");
                CHECK(std::abs(growth.fitted - (ladder.growth - 0.5 * off)) <= 3.0 * growth.deviation);
                CHECK(growth.deviation < 20e-9);
                CHECK(std::abs(c.values.front().fitted - 1e9) <= 3.0 * c.values.front().deviation);
                CHECK(c.fit.chi_square / c.fit.freedom < 3.0);
            }
    }

    TEST_CASE("three devices with one line each were refused; they fix over-etch and wave speed") {
        const Comparison c = on_ladder({60e-6, 120e-6, 240e-6}, 1e-6, 0.0, 1);
        const FittedValue growth = named(c, "outline.growth");
        CHECK(std::abs(growth.fitted - 1e-6) <= 3.0 * growth.deviation);
        CHECK(growth.deviation < 50e-9);
        CHECK(std::abs(c.values.front().fitted - 1e9) <= 3.0 * c.values.front().deviation);
        for (const DeviceComparison& device : c.devices) CHECK(device.peaks.front().label == "(1,1)");
    }

    TEST_CASE(
        "devices of one chip had an undercut each, without a unit; they have one, and it goes into every design") {
        // Truth: the same fields with another undercut, by this program; that its frequencies are right is not tested
        // here.
        const auto field = [](const char* side, const char* stress, const char* undercut) {
            return sample::design(sample::film("100 nm", stress) +
                                  "[outline]\nshape = \"hole-field\"\n[holes]\nlattice = \"square\"\n"
                                  "diameter = \"4.0 +- 0.1 um\"\npitch = \"10 um\"\nfield = [\"" +
                                  side + " um\", \"" + side + " um\"]\n[release]\ngap = \"2 um\"\nundercut = \"" +
                                  undercut + "\"\n[solve]\nmodes = 4\naccuracy = 3e-3\n");
        };
        std::vector<DeviceInput> devices;
        for (const char* side : {"24", "44", "64"}) {
            const Prediction truth = predict(field(side, "0.95 GPa", "6.3 um"), sample::table());
            Measured m;
            m.file = "made.csv";
            m.peaks.resize(1);  // fewer than three lines each were refused
            m.peaks.front().frequency_hz = truth.modes.front().mode.frequency_hz;
            m.peaks.front().deviation_hz = 1e-4 * m.peaks.front().frequency_hz;
            devices.push_back({field(side, "1.00 +- 0.05 GPa", "6.0 +- 0.3 um"), m});
        }
        const Comparison c = compare(devices, sample::table(), {});
        const auto of_undercut = [](const FittedValue& v) { return v.name == "release.undercut"; };
        REQUIRE(std::count_if(c.values.begin(), c.values.end(), of_undercut) == 1);
        const FittedValue undercut = named(c, "release.undercut");
        CHECK(undercut.unit == "m");
        CHECK_FALSE(undercut.device);
        CHECK(undercut.designed == Approx(6e-6));
        CHECK(std::abs(undercut.fitted - 6.3e-6) <= 3.0 * undercut.deviation);
        CHECK(undercut.deviation < 0.3e-6);
        CHECK(std::abs(c.values.front().fitted - 0.95e9) <= 3.0 * c.values.front().deviation);
        CHECK(named(c, "holes.diameter").unit == "m");
        for (const DeviceComparison& device : c.devices) {
            REQUIRE(device.written.size() >= 3);
            CHECK(device.written[1].key == "release.undercut");
            CHECK(std::abs(device.written[1].value - undercut.fitted) < undercut.deviation);
        }
    }

    TEST_CASE("a size ladder parts over-etch from wave speed") {
        synthetic::Device small, large;
        for (synthetic::Device* d : {&small, &large}) {
            d->stress_x = d->stress_y = 0.93e9;
            d->width = d->height = (d == &small ? 100e-6 : 300e-6) + 2.0 * 0.8e-6;
        }
        const Comparison c = compare({{sample::design(text("100.00 +- 0.02 um")), list(small, 12)},
                                      {sample::design(text("300.00 +- 0.02 um")), list(large, 12, 2)}},
                                     sample::table(), {});
        CHECK(value(c, "outline.growth") == Approx(0.8e-6).epsilon(0.05));
        CHECK(std::abs(value(c, "film.stress") - 0.93e9) < 2.0 * c.values.front().deviation);
        CHECK(c.devices.size() == 2);
    }
}

TEST_SUITE("unit") {
    TEST_CASE("devices of different films, and a decay beside a list, are refused before anything is solved") {
        const std::string side = sample::square("200 um");
        const auto read = [&](const std::string& film, const char* file) {
            return parse_device(film + side, file, sample::table());
        };
        const Device a = read(sample::film("100 nm"), "a.toml");
        struct Other {
            std::string film;
            const char* words;
        };
        for (const Other& other :
             {Other{sample::film("90 nm"),
                    "b.toml: film.thickness: differs from a.toml; devices that are compared "
                    "together share one film"},
              Other{sample::film("100 nm", "1.1 GPa"), "b.toml: film.stress: differs from a.toml"}})
            CHECK_THROWS_WITH_AS(
                (void)compare({{a, list({}, 8)}, {read(other.film, "b.toml"), list({}, 8)}}, sample::table(), {}),
                doctest::Contains(other.words), InputError);
        CHECK_THROWS_WITH_AS((void)compare({{a, list({}, 8)}, {a, falling(1e6, 1.0)}}, sample::table(), {}),
                             "made.csv: is a ringdown, which carries no film to share; compare it alone", InputError);
    }
}

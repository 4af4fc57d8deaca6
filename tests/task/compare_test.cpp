// The comparison end to end on devices made by a closed series.
#include "tymbal/task/compare.h"
#include "support/designs.h"
#include "support/synthetic.h"
#include "tymbal/base/error.h"

#include <doctest/doctest.h>

#include <algorithm>
#include <cmath>

using namespace tymbal;
using doctest::Approx;

namespace {

std::string text(const std::string& side) {
    std::string out =
        "[film]\nmaterial = \"nitride-stoichiometric\"\nthickness = \"100 nm\"\nstress = \"1.00 +- 0.03 GPa\"\n"
        "youngs_modulus = \"250 GPa\"\npoisson_ratio = 0.25\ndensity = \"3100 +- 62 kg/m^3\"\n";
    return out.append(sample::square(side));
}

/// A device measured without foreign peaks, the first `modes` modes.
Measured list(const synthetic::Device& device, int modes, std::uint64_t seed = 1) {
    synthetic::Dice dice(seed);
    Measured m;
    m.file = "made.csv";
    m.peaks = synthetic::measure(device, {.modes = modes, .seen = 1.1, .foreign = 0.0, .noise = 3e-5}, dice).peaks;
    return m;
}

double value(const Comparison& c, const std::string& name) {
    for (const FittedValue& v : c.values)
        if (v.name == name) return v.fitted;
    return std::nan("");
}

}  // namespace

TEST_SUITE("reference") {
    TEST_CASE("a film thirty per cent above its design is found, labelled and fitted within its sigma") {
        synthetic::Device device;
        device.stress_x = device.stress_y = 1.3e9;
        const Comparison c =
            compare({{sample::design(text("200.0 +- 0.2 um")), list(device, 13)}}, sample::table(), {});
        CHECK(std::abs(c.values.front().fitted - 1.3e9) < 2.0 * c.values.front().deviation);
        CHECK(c.values.front().deviation == Approx(1.3e9 * 0.02).epsilon(0.1));  // density is known to 2 %
        CHECK(c.group_deviation < 2e-4);                                         // what frequencies do fix
        REQUIRE(c.devices.front().peaks.size() == 13);
        CHECK(c.devices.front().peaks.front().label == "(1,1)");
        CHECK(c.devices.front().unseen.empty());
        for (const ComparedPeak& p : c.devices.front().peaks) {
            CHECK(p.mode > 0);
            CHECK(std::abs(p.residual) < 2e-4);
        }
    }

    TEST_CASE("unequal stress is asked for by the splitting of the pairs and comes back") {
        synthetic::Device device;
        device.stress_x = 1.01e9;
        device.stress_y = 0.99e9;
        const Comparison c =
            compare({{sample::design(text("200.00 +- 0.02 um")), list(device, 20)}}, sample::table(), {});
        CHECK(std::abs(value(c, "film.tilt")) == Approx(0.01).epsilon(0.05));
        CHECK(value(c, "film.stress") == Approx(1e9).epsilon(0.02));
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

TEST_SUITE("slow") {
    TEST_CASE("one or two peaks and strangers alone get no answer") {
        const Design design = sample::design(text("200.0 +- 0.2 um"));
        synthetic::Device device;
        CHECK_THROWS_AS((void)compare({{design, list(device, 1)}}, sample::table(), {}), NoAnswer);
        CHECK_THROWS_AS((void)compare({{design, list(device, 2)}}, sample::table(), {}), NoAnswer);
        Measured strangers = list(device, 9);
        for (std::size_t k = 0; k < strangers.peaks.size(); ++k)
            strangers.peaks[k].frequency_hz = 1e6 * (2.0 + 0.61 * std::sqrt(static_cast<double>(k)));
        CHECK_THROWS_AS((void)compare({{design, strangers}}, sample::table(), {}), NoAnswer);
    }

    TEST_CASE("an exact double is a harmonic when the mode is there too, and a doubt when it is not") {
        const Design design = sample::design(text("200.0 +- 0.2 um"));
        synthetic::Device device;
        Measured m = list(device, 12);
        for (Peak& peak : m.peaks) peak.deviation_hz = 1e-6 * peak.frequency_hz;
        synthetic::Dice dice(3);
        for (std::size_t k = 0; k < m.peaks.size(); ++k) {
            const auto mode =
                synthetic::measure(device, {.modes = 12, .seen = 1.1, .foreign = 0.0, .noise = 0.0}, dice);
            m.peaks[k].frequency_hz = mode.peaks[k].frequency_hz;
        }
        Peak harmonic = m.peaks.front();
        harmonic.frequency_hz *= 2.0;
        m.peaks.push_back(harmonic);
        std::sort(m.peaks.begin(), m.peaks.end(),
                  [](const Peak& a, const Peak& b) { return a.frequency_hz < b.frequency_hz; });
        const Comparison c = compare({{design, m}}, sample::table(), {});
        int harmonics = 0;
        for (const ComparedPeak& p : c.devices.front().peaks) {
            if (p.mode == 0 && p.remark.rfind("harmonic: exactly twice (1,1)", 0) == 0) ++harmonics;
            if (p.label == "(2,2)") CHECK(p.peak.frequency_hz != harmonic.frequency_hz);
        }
        CHECK(harmonics == 1);
    }

    TEST_CASE("a harmonic shows by how it rises with the drive") {
        const Design design = sample::design(text("200.0 +- 0.2 um"));
        Measured m = list({}, 8);
        std::vector<Peak> rows;
        for (Peak& peak : m.peaks)
            for (const double drive : {1.0, 2.0}) {
                rows.push_back(peak);
                rows.back().drive = drive;
                rows.back().height = 5.0 * (&peak == &m.peaks[3] ? drive * drive : drive);
            }
        m.peaks = rows;
        const Comparison c = compare({{design, m}}, sample::table(), {});
        REQUIRE(c.devices.front().peaks.size() == 8);
        CHECK(c.devices.front().peaks[3].remark.rfind("harmonic", 0) == 0);
        CHECK(c.devices.front().peaks[2].remark.empty());
    }

    TEST_CASE("two data sets of one device that differ by more than heat and ageing are pointed out") {
        const Design design = sample::design(text("200.0 +- 0.2 um"));
        synthetic::Device device, later;
        later.density *= 1.01;  // something settled on it
        const Comparison same =
            compare({{design, list(device, 10)}, {design, list(device, 10, 2)}}, sample::table(), {});
        CHECK(same.warnings.empty());
        const Comparison changed =
            compare({{design, list(device, 10)}, {design, list(later, 10, 2)}}, sample::table(), {});
        REQUIRE(changed.warnings.size() == 1);
        CHECK(changed.warnings.front().code == "data-sets-differ");
    }

    TEST_CASE("devices of different films cannot share one") {
        const Design a = sample::design(text("200.0 +- 0.2 um"));
        const Design b = sample::design(sample::film("90 nm") + sample::square("200 um"));
        CHECK_THROWS_AS((void)compare({{a, list({}, 8)}, {b, list({}, 8)}}, sample::table(), {}), InputError);
    }

    TEST_CASE("a decay alone names its mode when the prediction is sharp, and judges its Q") {
        Measured m;
        m.file = "made.csv";
        m.kind = MeasuredKind::ringdown;
        m.decay.frequency_hz = synthetic::frequency({}, 1, 1);
        for (int i = 0; i < 400; ++i) {
            m.decay.time_s.push_back(0.01 * i);
            m.decay.power.push_back(std::exp(-3.0 * 0.01 * i) + 1e-4);
        }
        const Comparison c = compare({{sample::design(text("200.0 +- 0.2 um")), m}}, sample::table(), {});
        REQUIRE(c.devices.front().peaks.size() == 1);
        const ComparedPeak& p = c.devices.front().peaks.front();
        CHECK(p.label == "(1,1)");
        CHECK(*p.peak.quality == Approx(2.0 * 3.14159265 * m.decay.frequency_hz / 3.0).epsilon(1e-3));
        CHECK(c.values.empty());
    }
}

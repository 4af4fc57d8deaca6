// One film for a chip: a ladder of hole fields whose maker alone knows film and undercut.
#include "support/designs.h"
#include "support/synthetic.h"
#include "tymbal/base/error.h"
#include "tymbal/film/cell_memo.h"
#include "tymbal/task/compare.h"
#include "tymbal/task/predicted_lines.h"
#include "tymbal/task/solved.h"

#include "made_devices.h"

#include <doctest/doctest.h>

#include <algorithm>
#include <cmath>
#include <string>
#include <vector>

using namespace tymbal;
using namespace tymbal::made;

namespace {

/// What a film and its release may be.
struct Film {
    double stress_mpa = 1000.0, density = 3100.0, thickness_nm = 100.0, undercut_um = 3.5;
};

std::string quantity(double value, const std::string& unit) {
    return "\"" + std::to_string(value) + " " + unit + "\"\n";
}

/// A field of holes with the given side.
Device field(double side_um, const std::string& film_and_release) {
    const std::string side = std::to_string(side_um) + " um";
    return sample::design(
        "[outline]\nshape = \"hole-field\"\n[holes]\nlattice = \"square\"\n"
        "diameter = \"1.5 um\"\npitch = \"4 um\"\nfield = [\"" +
        side + "\", \"" + side + "\"]\n[solve]\nmodel = \"averaged\"\nmodes = 8\n" + film_and_release);
}

Device true_field(double side_um, const Film& film) {
    return field(side_um,
                 "[film]\nmaterial = \"nitride-stoichiometric\"\nyoungs_modulus = \"250 GPa\"\n"
                 "poisson_ratio = 0.25\nstress = " +
                     quantity(film.stress_mpa, "MPa") + "density = " + quantity(film.density, "kg/m^3") +
                     "thickness = " + quantity(film.thickness_nm, "nm") +
                     "[release]\ngap = \"2 um\"\nundercut = " + quantity(film.undercut_um, "um"));
}

Device drawn_field(double side_um) {
    return field(side_um,
                 "[film]\nmaterial = \"nitride-stoichiometric\"\nyoungs_modulus = \"250 GPa\"\npoisson_ratio = 0.25\n"
                 "stress = \"1.00 +- 0.05 GPa\"\ndensity = \"3100 +- 62 kg/m^3\"\nthickness = \"100 +- 1 nm\"\n"
                 "[release]\ngap = \"2 um\"\nundercut = \"3.5 +- 1.0 um\"\n");
}

/// Lines of a true field with the solution's own stated errors drawn anew, its share common to all lines and each
/// line's own, and 2e-4 of noise; four of five are seen, and one foreign line lies among them.
Measured lines_of(double side_um, const Film& film, const CellMemo& cells, synthetic::Dice& dice) {
    const Device device = true_field(side_um, film);
    const LineModel model = predicted_lines(device, solve(device, {cells, false}));
    Measured m;
    m.file = std::to_string(static_cast<int>(side_um)) + ".csv";
    const double common = model.inputs.back().deviation * dice.normal();
    for (const Line& line : model.lines) {
        const double off = common + line.numerics * dice.normal() + 2e-4 * dice.normal();
        const double hz = line.frequency_hz * std::exp(off);
        if (dice.uniform(0.0, 1.0) > 0.8) continue;
        m.peaks.emplace_back();
        m.peaks.back().frequency_hz = hz;
        m.peaks.back().deviation_hz = 2e-4 * hz;
    }
    m.peaks.emplace_back();
    m.peaks.back().frequency_hz = dice.uniform(model.lines.front().frequency_hz, model.lines.back().frequency_hz);
    m.peaks.back().deviation_hz = 2e-4 * m.peaks.back().frequency_hz;
    std::sort(m.peaks.begin(), m.peaks.end(),
              [](const Peak& a, const Peak& b) { return a.frequency_hz < b.frequency_hz; });
    return m;
}

/// How far a value lies from the truth, in its own deviations.
struct Misses {
    std::vector<double> undercut, stress;
};

int within(const std::vector<double>& misses, double sigmas) {
    return static_cast<int>(
        std::count_if(misses.begin(), misses.end(), [&](double m) { return std::abs(m) <= sigmas; }));
}

Misses chips(int first, int count) {
    Misses out;
    const CellMemo cells;
    for (int seed = first; seed < first + count; ++seed) {
        synthetic::Dice dice(static_cast<std::uint64_t>(seed));
        const Film truth{1000.0 * (1.0 + 0.05 * dice.normal()), 3100.0 + 62.0 * dice.normal(), 100.0 + dice.normal(),
                         dice.uniform(2.5, 4.5)};
        std::vector<DeviceInput> devices;
        for (const double side : {50.0, 110.0, 230.0})
            devices.push_back({drawn_field(side), lines_of(side, truth, cells, dice)});
        CompareSettings settings;
        settings.modes = 8;
        try {
            const Comparison c = compare(devices, sample::table(), settings);
            const FittedValue stress = named(c, "film.stress"), undercut = named(c, "release.undercut");
            out.undercut.push_back((undercut.fitted - 1e-6 * truth.undercut_um) / undercut.deviation);
            out.stress.push_back((stress.fitted - 1e6 * truth.stress_mpa) / stress.deviation);
            MESSAGE(seed << ": undercut " << 1e6 * undercut.fitted << " +- " << 1e6 * undercut.deviation << ", "
                         << truth.undercut_um << " true; stress " << 1e-6 * stress.fitted << " +- "
                         << 1e-6 * stress.deviation << ", " << truth.stress_mpa << " true");
            for (const Warning& w : c.warnings) MESSAGE(seed << ": " << w.text);
        } catch (const NoAnswer& e) {
            MESSAGE(seed << ": " << std::string(e.what()));
            out.undercut.push_back(HUGE_VAL);
            out.stress.push_back(HUGE_VAL);
        }
    }
    return out;
}

}  // namespace

// Of 100 right fits 68 lie within one deviation and 95 within two, give or take 5 and 2 (binomial).
TEST_SUITE("deep") {
    TEST_CASE("undercut and stress of a hundred chips lie within their deviations as often as they should") {
        const Misses misses = chips(1, 100);
        for (const std::vector<double>* of : {&misses.undercut, &misses.stress}) {
            MESSAGE(within(*of, 1.0) << " within one, " << within(*of, 2.0) << " within two");
            CHECK(within(*of, 2.0) >= 88);
            CHECK(within(*of, 2.0) <= 99);
            CHECK(within(*of, 1.0) >= 55);
            CHECK(within(*of, 1.0) <= 80);
        }
    }
}

TEST_SUITE("slow") {
    TEST_CASE("undercut and stress of a chip are found from a ladder of three fields") {
        const Misses misses = chips(1001, 4);
        // One right fit of twenty lies beyond two deviations, of ten thousand one beyond four.
        for (const std::vector<double>* of : {&misses.undercut, &misses.stress}) {
            CHECK(within(*of, 2.0) >= 3);
            CHECK(within(*of, 4.0) == 4);
        }
    }
}

namespace {

struct Placed {
    double side, x_m, y_m;
};
const std::vector<Placed> squares{
    {60e-6, -4e-3, -4e-3}, {120e-6, 4e-3, -3e-3}, {240e-6, -3e-3, 4e-3}, {90e-6, 3e-3, 3e-3}, {180e-6, 0.0, 0.0}};

/// Clamped squares on a chip whose stress rises by `per_m` along x; that of the device `odd` is a hundredth higher.
Comparison squares_on_chip(double per_m, int odd = -1) {
    std::vector<DeviceInput> devices;
    synthetic::Dice dice(11);
    for (const Placed& p : squares) {
        const bool is_odd = odd == static_cast<int>(devices.size());
        const double stress = (1e9 + per_m * p.x_m) * (is_odd ? 1.02 : 1.0);
        devices.push_back(
            {sample::design(sample::film("100 nm") + sample::square(std::to_string(1e6 * p.side) + " um")),
             square_list(p.side, 10, dice, stress),
             "D" + std::to_string(devices.size() + 1),
             {p.x_m, p.y_m}});
    }
    CompareSettings settings;
    settings.threads = 2;
    return compare(devices, sample::table(), settings);
}

bool has_gradient(const Comparison& c) {
    return std::any_of(c.values.begin(), c.values.end(), [](const FittedValue& v) { return v.unit == "Pa/m"; });
}

const Warning* disagreement(const Comparison& c) {
    for (const Warning& w : c.warnings)
        if (w.code == "device-disagrees") return &w;
    return nullptr;
}

}  // namespace

TEST_SUITE("reference") {
    // Lines by Ritz series (tests/support/exact_modes.h), with 5e-5 of noise.
    TEST_CASE("a stress that rises over the chip is found where the lines ask for it, and only there") {
        constexpr double per_m = 2e9;  // 2 MPa/mm: 0.8 % from the middle to the last device
        const Comparison uneven = squares_on_chip(per_m);
        const FittedValue along = named(uneven, "film.stress_gradient_x"), up = named(uneven, "film.stress_gradient_y");
        CHECK(along.unit == "Pa/m");
        CHECK(std::abs(along.fitted - per_m) <= 3.0 * along.deviation);
        CHECK(along.deviation < 0.1 * per_m);
        CHECK(std::abs(up.fitted) <= 3.0 * up.deviation);
        CHECK(std::abs(uneven.values.front().fitted - 1e9) <= 3.0 * uneven.values.front().deviation);
        CHECK(disagreement(uneven) == nullptr);
        const Comparison even = squares_on_chip(0.0);
        CHECK_FALSE(has_gradient(even));
        CHECK(disagreement(even) == nullptr);
    }

    TEST_CASE("the device that disagrees is named with how much, and the others are not") {
        const Comparison c = squares_on_chip(0.0, 3);
        const Warning* warning = disagreement(c);
        REQUIRE(warning != nullptr);
        CHECK(warning->text.rfind("device D4 rings", 0) == 0);
        REQUIRE(c.devices[3].apart);
        CHECK(c.devices[3].name == "D4");
        CHECK(std::abs(c.devices[3].apart->value - 0.5 * std::log(1.02)) <= 3.0 * c.devices[3].apart->deviation);
        CHECK(c.devices[3].apart->deviation < 2e-3);
        for (const std::size_t d : {0U, 1U, 2U, 4U})
            CHECK(std::abs(c.devices[d].apart->value) < std::abs(c.devices[3].apart->value));
    }
}

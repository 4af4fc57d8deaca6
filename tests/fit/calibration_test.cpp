// A thousand devices that the fitter did not make: are labels right, and do reported sigmas hold what they promise?
#include "support/designs.h"
#include "support/synthetic.h"
#include "tymbal/fit/assign.h"
#include "tymbal/task/predicted_lines.h"

#include <doctest/doctest.h>

#include <algorithm>
#include <cmath>
#include <future>

using namespace tymbal;

namespace {

constexpr double size_deviation = 0.025;  // relative, one sigma of each side, drawn within two of them: +-5 %
constexpr double density_deviation = 0.02;

/// The design that all devices were made from.
const LineModel& nominal() {
    static const LineModel model = [] {
        const Design design = sample::design(
            "[film]\nmaterial = \"nitride-stoichiometric\"\nthickness = \"100 nm\"\nstress = \"1 GPa\"\n"
            "youngs_modulus = \"250 GPa\"\npoisson_ratio = 0.25\ndensity = \"3100 +- 62 kg/m^3\"\n"
            "[outline]\nshape = \"rectangle\"\nwidth = \"200 +- 5 um\"\nheight = \"200 +- 5 um\"\n"
            "[solve]\nmodes = 60\n");
        return predicted_lines(design, solve(design));
    }();
    return model;
}

struct Outcome {
    int membrane_peaks = 0, right = 0, wrong = 0, foreign_named = 0, foreign = 0;
    double pull = 0.0;  ///< (fitted - true)/sigma of ln(stress)
    bool told = false;
};

bool names(const std::string& label, const synthetic::Truth& truth) {
    std::string name = "(";
    name.append(std::to_string(truth.m)).append(",").append(std::to_string(truth.n)).append(")");
    return label.find(name) != std::string::npos;
}

synthetic::Device draw(synthetic::Dice& dice, double& stress) {
    const auto within_two = [&] {
        double z = dice.normal();
        while (std::abs(z) > 2.0) z = dice.normal();
        return z;
    };
    synthetic::Device device;
    stress = dice.uniform(0.6, 1.4);
    device.stress_x = device.stress_y = 1e9 * stress;
    device.density *= 1.0 + density_deviation * dice.normal();
    device.width *= 1.0 + size_deviation * within_two();
    device.height *= 1.0 + size_deviation * within_two();
    return device;
}

Outcome judge(std::uint64_t seed) {
    synthetic::Dice dice(seed);
    for (int warm = 0; warm < 8; ++warm) dice.uniform(0.0, 1.0);
    double stress = 1.0;
    const synthetic::Device device = draw(dice, stress);
    const int modes = static_cast<int>(dice.uniform(12.0, 28.0));
    const synthetic::List list = synthetic::measure(device, {.modes = modes}, dice);
    const Assignment assignment = assign(list.peaks, nominal(), {});
    Outcome out;
    for (const auto& truth : list.truths) (truth.m > 0 ? out.membrane_peaks : out.foreign) += 1;
    std::vector<Datum> data;
    for (const Pairing& pair : assignment.pairs) {
        const Line& line = nominal().lines[pair.line];
        const auto& truth = list.truths[pair.peak];
        data.push_back({0, pair.line, std::log(list.peaks[pair.peak].frequency_hz), 1e-4});
        if (truth.m == 0) {
            ++out.foreign_named;
            continue;
        }
        const bool partner = line.twin >= 0 && names(nominal().lines[static_cast<std::size_t>(line.twin)].label, truth);
        (names(line.label, truth) || partner ? out.right : out.wrong) += 1;
    }
    out.told = assignment.certainty > 0.95;
    if (data.empty()) return out;
    const FilmFit fit = fit_film({&nominal()}, data, {});
    out.pull = (fit.parameters[0].shift - std::log(stress)) / fit.parameters[0].deviation;
    return out;
}

}  // namespace

TEST_SUITE("slow") {
    TEST_CASE("of a thousand devices, labels are right and sigmas hold what they promise") {
        (void)nominal();
        const auto run = [](int first, int last) {
            std::vector<Outcome> part;
            for (int k = first; k < last; ++k) part.push_back(judge(static_cast<std::uint64_t>(k + 1)));
            return part;
        };
        auto ahead = std::async(std::launch::async, run, 0, 500);
        std::vector<Outcome> all = run(500, 1000);
        for (const Outcome& o : ahead.get()) all.push_back(o);
        int peaks = 0, right = 0, wrong = 0, named = 0, foreign = 0, told = 0, within = 0, bad = 0;
        for (const Outcome& o : all) {
            peaks += o.membrane_peaks;
            right += o.right;
            wrong += o.wrong;
            named += o.foreign_named;
            foreign += o.foreign;
            told += o.told;
            within += std::abs(o.pull) < 2.0;
            bad += o.right < 0.5 * o.membrane_peaks;
        }
        std::printf("peaks %d right %d wrong %d foreign %d named %d told %d within %d bad %d\n", peaks, right, wrong,
                    foreign, named, told, within, bad);
        CHECK(right >= 0.95 * peaks);
        CHECK(within >= 930);
        CHECK(within <= 970);
    }
}

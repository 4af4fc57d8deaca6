// What a caller is told of a long solution, and how soon it lets go: in every task that solves designs.
#include "support/designs.h"

#include "tymbal/base/error.h"
#include "tymbal/read/read_chip.h"
#include "tymbal/task/chip_plan.h"
#include "tymbal/task/choose.h"
#include "tymbal/task/compare.h"
#include "tymbal/task/predict_chip.h"
#include "tymbal/task/size.h"
#include "tymbal/task/solved.h"
#include "tymbal/task/sweep.h"
#include "tymbal/task/uncertainty.h"

#include <doctest/doctest.h>

#include <atomic>
#include <set>

using namespace tymbal;

namespace {

const std::string plain = sample::film("100 +- 2 nm") + sample::square("60 um") + "[solve]\nmodes = 2\n";
const std::string holed =
    sample::film("100 +- 2 nm") + sample::square("40 um") +
    "[holes]\nlattice = \"list\"\ndiameter = \"8.0 +- 0.1 um\"\n" +
    "centres = [[\"-8 um\", \"0 um\"], [\"8 um\", \"0 um\"]]\n[solve]\nmodes = 2\nmodel = \"resolved\"\n";

DeviceAt family(const std::string& text) {
    return [text](const Changes& changes) { return parse_device(text, "test.toml", sample::table(), changes); };
}

/// Counts steps; stops after so many of them.
struct Watcher {
    explicit Watcher(int most) : most_(most), stop_(most == 0) {}
    Effort effort() {
        Effort effort;
        effort.own_threads = false;
        effort.large.stop = &stop_;
        effort.large.progress = [this](const SolveStep& step) {
            unknowns.insert(step.unknowns);
            stop_ = ++steps >= most_;
        };
        return effort;
    }
    std::atomic<int> steps = 0;
    std::set<std::size_t> unknowns;

private:
    int most_;
    std::atomic<bool> stop_;
};

}  // namespace

TEST_SUITE("unit") {
    TEST_CASE("every grid of a film is told, with openings and without") {
        for (const std::string& text : {plain, holed}) {
            Watcher all(1000);
            (void)solve(sample::design(text), all.effort());
            CHECK(all.unknowns.size() >= 3);
        }
    }

    TEST_CASE("a stop is met at the next step, also inside of a grid") {
        for (const std::string& text : {plain, holed}) {
            Watcher first(1);
            CHECK_THROWS_AS((void)solve(sample::design(text), first.effort()), NoAnswer);
            CHECK(first.steps == 1);
        }
    }

    TEST_CASE("deviations by films that are solved again stop, too") {
        const Device device = sample::design(holed);
        SolvedDesign solved = solve(device);
        Watcher none(0);
        CHECK_THROWS_AS(add_uncertainties(device, solved.laid, none.effort(), solved.set), NoAnswer);
    }

    TEST_CASE("tasks that move through designs pass the stop on") {
        Watcher none(0);
        const SolveEffort large = none.effort().large;
        const DeviceAt at = family(plain);
        CHECK_THROWS_AS((void)size(at, {5e6, "", Sizing::outline}, sample::table(), {}, large), NoAnswer);
        sweep({at, sample::table(), {{{"outline.scale", {1.0, 1.5}}}}, {0, 1}, 1, large},
              [](const SweepRow& row) { CHECK(!row.figures); });
        const DeviceAt free = family(plain +
                                     "[target]\nfrequency = \"5 MHz\"\n"
                                     "[free]\n\"outline.width\" = [\"50 um\", \"90 um\"]\n");
        CHECK_THROWS_AS((void)choose({free, sample::table(), 4, 1, false, 0.9, large}), NoAnswer);
        const ChipDesign chip = read_chip(places::source_dir() + "/examples/ladder/chip.toml", sample::table());
        for (const PredictedDevice& d : predict_chip(chip, sample::table(), {1, 1e3, large}).devices)
            CHECK(!d.prediction);
        for (const DevicePlan& d : plan_chip(chip, sample::table(), {}, 1, {}, large).devices) CHECK(!d.plan);
        Measured lines;
        lines.kind = MeasuredKind::peaks;
        for (const double hz : {6.7e6, 10.6e6, 13.4e6}) lines.peaks.emplace_back().frequency_hz = hz;
        CHECK_THROWS_AS((void)compare({{sample::design(plain), lines}}, sample::table(), {2, false, 1, large}),
                        NoAnswer);
        CHECK(none.steps == 0);
    }
}

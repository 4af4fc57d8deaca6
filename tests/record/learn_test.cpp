#include "tymbal/record/learn.h"

#include "tymbal/base/error.h"

#include "logs.h"

#include <algorithm>
#include <cmath>

using namespace tymbal;
using namespace logs;

namespace {

std::vector<RecordEntry> numbered(std::vector<RecordEntry> entries) {
    for (std::size_t k = 0; k < entries.size(); ++k) entries[k].number = static_cast<std::int64_t>(k) + 1;
    return entries;
}

std::vector<RecordEntry> of_chips(int chips) {
    std::vector<RecordEntry> all;
    for (int c = 1; c <= chips; ++c)
        for (RecordEntry& e : chip("S" + std::to_string(c)).entries) all.push_back(std::move(e));
    return all;
}

const LearnedLine* line_of(const Learning& l, const std::string& key) {
    const auto found =
        std::find_if(l.lines.begin(), l.lines.end(), [&](const LearnedLine& line) { return line.key == key; });
    return found == l.lines.end() ? nullptr : &*found;
}

}  // namespace

TEST_SUITE("unit") {
    TEST_CASE("a bias is half the growth of a width, counted per edge") {
        auto log = of_chips(3);
        for (const char* name : {"S1", "S2", "S3"}) {
            log.push_back(entry("printed", name, "A1", {value("hole_width", 2.2e-6)}));
            log.push_back(entry("etched", name, "A1", {value("holes.diameter", 2.3e-6)}));
        }
        const Learning l = learn(numbered(log));
        CHECK(std::abs(line_of(l, "process.lithography_bias")->value - 0.1e-6) < 1e-15);
        CHECK(std::abs(line_of(l, "process.etch_bias")->value - 0.05e-6) < 1e-15);
    }

    TEST_CASE("a rate is undercut over time; the time may stand in the chip's released entry") {
        auto log = of_chips(2);
        for (const char* name : {"S1", "S2"}) {
            log.push_back(entry("released", name, "", {value("time", 1200.0), word("bath", "B7")}));
            log.push_back(entry("inspected", name, "A1", {value("undercut", 2.4e-6, 0.1e-6)}));
        }
        const Learning l = learn(numbered(log));
        CHECK(std::abs(line_of(l, "release.rate")->value - 2e-9) < 1e-15);
        CHECK(l.learned.front().group == "B7");
        CHECK(l.warnings.front().code == "two-chips");
    }

    TEST_CASE("of several fits of one device the latest counts, corrected values take their place") {
        auto log = of_chips(2);
        log.push_back(entry("fitted", "S1", "A1", {value("film.stress", 2e9)}));
        log.push_back(entry("fitted", "S1", "A1", {value("film.stress", 1.1e9)}));
        log.push_back(entry("fitted", "S2", "A1", {value("film.stress", 5e9)}));
        RecordEntry fixed = entry("correction", "S2", "A1", {value("film.stress", 0.9e9)});
        fixed.corrects = static_cast<std::int64_t>(log.size());
        log.push_back(fixed);
        const Learning l = learn(corrected(numbered(log)));
        CHECK(std::abs(line_of(l, "film.stress")->value - 1e9) < 1.0);
        CHECK(l.learned.front().pooled.values == 2);
    }

    TEST_CASE("a value corrected to none teaches nothing") {
        auto log = of_chips(1);
        log.push_back(entry("fitted", "S1", "A1", {value("film.stress", 2e9)}));
        RecordEntry gone = entry("correction", "S1", "A1", {word("film.stress", "none")});
        gone.corrects = static_cast<std::int64_t>(log.size());
        log.push_back(gone);
        CHECK_THROWS_AS((void)learn(corrected(numbered(log))), NoAnswer);
    }

    TEST_CASE("wafers are kept apart, and an unseen one is expected from those seen") {
        auto log = of_chips(6);
        for (int c = 1; c <= 6; ++c) {
            const std::string name = "S" + std::to_string(c);
            const double wafer = c <= 2 ? 0.8e9 : c <= 4 ? 1.0e9 : 1.2e9;
            log.push_back(entry("note", name, "", {word("wafer", c <= 2 ? "W1" : c <= 4 ? "W2" : "W3")}));
            log.push_back(entry("fitted", name, "", {value("film.stress", wafer + 1e6 * c, 1e6)}));
        }
        const auto entries = numbered(log);
        const Learning own = learn(entries, {"W2", ""});
        CHECK(std::abs(line_of(own, "film.stress")->value - 1.0035e9) < 1e6);
        CHECK(line_of(own, "film.stress")->deviation < 1e7);
        const Learning unseen = learn(entries);
        CHECK(std::abs(line_of(unseen, "film.stress")->value - 1.0035e9) < 1e6);
        CHECK(line_of(unseen, "film.stress")->deviation > 2e8);
        CHECK_THROWS_AS((void)learn(entries, {"W9", ""}), NoAnswer);
    }

    TEST_CASE("for another wafer, what those seen state of their own errors stays in the line") {
        auto log = of_chips(2);
        log.push_back(entry("note", "S1", "", {word("wafer", "W1")}));
        log.push_back(entry("note", "S2", "", {word("wafer", "W2")}));
        log.push_back(entry("fitted", "S1", "", {value("film.stress", 1.001e9, 1e8)}));
        log.push_back(entry("fitted", "S2", "", {value("film.stress", 1.000e9, 1e8)}));
        CHECK(line_of(learn(numbered(log)), "film.stress")->deviation > 1e8);
    }

    TEST_CASE("a wafer of which a key is not known is another wafer for that key") {
        auto log = of_chips(2);
        log.push_back(entry("note", "S1", "", {word("wafer", "W1")}));
        log.push_back(entry("note", "S2", "", {word("wafer", "W2")}));
        log.push_back(entry("fitted", "S1", "", {value("film.stress", 1e9, 1e7)}));
        log.push_back(entry("fitted", "S2", "", {value("film.stress", 1e9, 1e7), value("film.thickness", 5e-8, 1e-9)}));
        const Learning l = learn(numbered(log), {"W1", ""});
        CHECK(line_of(l, "film.thickness")->basis.find("for another wafer") != std::string::npos);
        CHECK(line_of(l, "film.stress")->basis.find("of wafer W1") != std::string::npos);
    }

    TEST_CASE("widths etched after one print share its error") {
        auto log = of_chips(1);
        log.push_back(entry("printed", "S1", "A1", {value("hole_width", 2.2e-6, 2e-8)}));
        for (int k = 0; k < 16; ++k) log.push_back(entry("etched", "S1", "A1", {value("hole_width", 2.3e-6, 2e-8)}));
        const double deviation = line_of(learn(numbered(log)), "process.etch_bias")->deviation;
        CHECK(std::abs(deviation - std::sqrt(1e-16 + 1e-16 / 16.0)) < 1e-12);
    }

    TEST_CASE("the latest is what happened last, in whatever order it was written down") {
        auto log = of_chips(1);
        log.push_back(entry("fitted", "S1", "A1", {value("film.stress", 1.1e9)}, "2026-03-20"));
        log.push_back(entry("fitted", "S1", "A1", {value("film.stress", 2e9)}, "2026-03-14T09:30:00Z"));
        log.push_back(entry("note", "S1", "", {word("wafer", "W2")}, "2026-03-20"));
        log.push_back(entry("note", "S1", "", {word("wafer", "W1")}, "2026-03-14"));
        const Learning l = learn(numbered(log));
        CHECK(line_of(l, "film.stress")->value == 1.1e9);
        CHECK(l.learned.front().group == "W2");
    }

    TEST_CASE("values without a deviation among those with one are told") {
        auto log = of_chips(3);
        log.push_back(entry("fitted", "S1", "", {value("film.stress", 1.00e9)}));
        log.push_back(entry("fitted", "S2", "", {value("film.stress", 1.05e9, 1e8)}));
        log.push_back(entry("fitted", "S3", "", {value("film.stress", 1.02e9, 1e8)}));
        const Learning l = learn(numbered(log));
        CHECK(l.warnings.front().code == "no-deviation");
        CHECK(line_of(l, "film.stress")->deviation > 5e7);
    }

    TEST_CASE("equal values without deviations make a line without one, and that is told") {
        auto log = of_chips(3);
        for (const char* name : {"S1", "S2", "S3"})
            log.push_back(entry("fitted", name, "", {value("film.stress", 1e9)}));
        const Learning l = learn(numbered(log));
        CHECK(line_of(l, "film.stress")->value == 1e9);
        CHECK(line_of(l, "film.stress")->deviation == 0.0);
        CHECK(line_of(l, "film.stress")->basis.find("NOT") != std::string::npos);
        CHECK(l.warnings.front().code == "no-scatter");
        CHECK_FALSE(l.next.front().then);
    }

    TEST_CASE("values too large to be squared make no line") {
        auto log = of_chips(2);
        log.push_back(entry("fitted", "S1", "", {value("film.stress", 1e200)}));
        log.push_back(entry("fitted", "S2", "", {value("film.stress", 3e200)}));
        CHECK_THROWS_WITH_AS((void)learn(numbered(log)), doctest::Contains("film.stress"), NoAnswer);
    }

    TEST_CASE("a correction by another name of the same quantity takes its place") {
        auto log = of_chips(1);
        log.push_back(entry("printed", "S1", "A1", {value("hole_width", 2.2e-6)}));
        RecordEntry fixed = entry("correction", "S1", "A1", {value("holes.diameter", 2.4e-6)});
        fixed.corrects = static_cast<std::int64_t>(log.size());
        log.push_back(fixed);
        const Learning l = learn(corrected(numbered(log)));
        CHECK(std::abs(line_of(l, "process.lithography_bias")->value - 0.2e-6) < 1e-15);
    }

    TEST_CASE("what cannot be used is named with its entry and why") {
        auto log = of_chips(1);
        log.push_back(entry("printed", "S1", "", {value("hole_width", 2.2e-6)}));
        log.push_back(entry("inspected", "S1", "A1", {value("undercut", 2e-6)}));
        log.push_back(entry("etched", "S1", "A2", {value("hole_width", 2.2e-6)}));
        log.push_back(entry("printed", "S1", "A1", {value("hole_width", 2.2e-6)}));
        const Learning l = learn(numbered(log));
        REQUIRE(l.left_out.size() == 3);
        CHECK(l.left_out.front().entry == 4);
    }

    TEST_CASE("one chip takes the scatter of the drawing; without one the line says that it is not in it") {
        auto log = of_chips(1);
        log.push_back(entry("fitted", "S1", "A1", {value("film.stress", 1e9, 1e6)}));
        log.push_back(entry("printed", "S1", "A1", {value("hole_width", 2.2e-6)}));
        const Learning l = learn(numbered(log));
        CHECK(line_of(l, "film.stress")->deviation > 4e7);
        CHECK(line_of(l, "process.lithography_bias")->basis.find("NOT") != std::string::npos);
    }

    TEST_CASE("the next measurement is the one that narrows the frequency most") {
        auto log = of_chips(4);
        for (RecordEntry& e : log)
            if (!e.device.empty()) {
                e.values.push_back(value("outline_size", 120e-6));
                e.values.push_back(value("hole_width", 2e-6));
                e.values.push_back(value("fill_factor", 0.1));
                e.values.push_back(word("outline.shape", "hole-field"));
            }
        const double stress[] = {0.8e9, 1.0e9, 1.2e9, 0.9e9}, width[] = {2.200e-6, 2.201e-6, 2.202e-6, 2.199e-6};
        for (int c = 0; c < 4; ++c) {
            const std::string name = "S" + std::to_string(c + 1);
            log.push_back(entry("fitted", name, "", {value("film.stress", stress[c], 1e6)}));
            log.push_back(entry("printed", name, "A1", {value("hole_width", width[c], 1e-9)}));
        }
        const Learning loose_film = learn(numbered(log));
        CHECK(loose_film.next.front().key == "film.stress");
        CHECK(loose_film.next.front().what.find("one more chip") != std::string::npos);
        CHECK(loose_film.judged_by == "S4, A2");
        for (RecordEntry& e : log)
            for (RecordedValue& v : e.values) {
                if (v.key == "film.stress" && e.step == "fitted") v.value = 1e9 + 1e-4 * (*v.value - 1e9);
                if (v.key == "hole_width" && e.step == "printed") v.value = 2.2e-6 + 300.0 * (*v.value - 2.2e-6);
            }
        CHECK(learn(numbered(log)).next.front().key == "process.lithography_bias");
    }

    TEST_CASE("a record without measurements has nothing to teach, and says what it wants") {
        CHECK_THROWS_AS((void)learn(numbered(of_chips(2))), NoAnswer);
    }
}

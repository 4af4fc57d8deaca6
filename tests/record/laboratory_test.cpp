// Laboratories whose truth is known: what is learned lies within its deviations as often as they say.
#include "tymbal/record/learn.h"

#include "logs.h"

#include <cmath>
#include <functional>
#include <random>

using namespace tymbal;
using namespace logs;

namespace {

/// Normal numbers from a fixed seed, the same with every compiler and library.
class Dice {
public:
    explicit Dice(unsigned seed) : engine_(seed) {}
    double normal() {
        const double a = uniform();
        const double b = uniform();
        return std::sqrt(-2.0 * std::log(a)) * std::cos(2.0 * std::acos(-1.0) * b);
    }

private:
    double uniform() { return (static_cast<double>(engine_() >> 11U) + 0.5) / 9007199254740992.0; }
    std::mt19937_64 engine_;
};

struct Truth {
    double mean, between, within, measured;
};

/// What a laboratory writes down of one key: its chips' own values, then one entry for each device.
struct Laboratory {
    const char* key;
    Truth truth;
    int chips, devices;
    std::function<RecordEntry(const std::string& chip, const std::string& device, double seen, double deviation)> write;
};

struct Hits {
    int mean_1 = 0, mean_2 = 0, next_1 = 0, next_2 = 0;
};

void run_one(const Laboratory& lab, unsigned seed, Hits& hits) {
    Dice dice(seed);
    std::vector<RecordEntry> entries;
    for (int c = 0; c < lab.chips; ++c) {
        const std::string chip_name = "chip " + std::to_string(c);
        const double own = lab.truth.mean + lab.truth.between * dice.normal();
        for (RecordEntry& e : chip(chip_name, lab.devices).entries) entries.push_back(std::move(e));
        for (int d = 1; d <= lab.devices; ++d) {
            const double there = own + lab.truth.within * dice.normal();
            const double seen = there + lab.truth.measured * dice.normal();
            entries.push_back(lab.write(chip_name, "A" + std::to_string(d), seen, lab.truth.measured));
        }
    }
    for (std::size_t k = 0; k < entries.size(); ++k) entries[k].number = static_cast<std::int64_t>(k) + 1;
    const double next = lab.truth.mean + lab.truth.between * dice.normal();
    const Learning found = learn(corrected(entries));
    REQUIRE(found.lines.size() == 1);
    CHECK(found.lines.front().key == lab.key);
    const Pooled& p = found.learned.front().pooled;
    hits.mean_1 += std::abs(p.mean - lab.truth.mean) <= p.mean_std;
    hits.mean_2 += std::abs(p.mean - lab.truth.mean) <= 2.0 * p.mean_std;
    hits.next_1 += std::abs(found.lines.front().value - next) <= found.lines.front().deviation;
    hits.next_2 += std::abs(found.lines.front().value - next) <= 2.0 * found.lines.front().deviation;
}

void require_coverage(const Laboratory& lab, unsigned seed) {
    Hits hits;
    constexpr int hundreds = 4;  // of a single hundred the count itself scatters by three
    for (unsigned k = 0; k < 100 * hundreds; ++k) run_one(lab, 10 * seed + k, hits);
    CAPTURE(lab.key);
    CAPTURE(lab.chips);
    for (const int within_one : {hits.mean_1, hits.next_1}) {
        CHECK(within_one >= 55 * hundreds);
        CHECK(within_one <= 80 * hundreds);
    }
    for (const int within_two : {hits.mean_2, hits.next_2}) {
        CHECK(within_two >= 88 * hundreds);
        CHECK(within_two <= 99 * hundreds);
    }
    MESSAGE(std::string(lab.key), ", ", lab.chips, " chips of ", lab.devices, ": mean ", hits.mean_1, " ", hits.mean_2,
            ", next chip ", hits.next_1, " ", hits.next_2);
}

RecordEntry printed(const std::string& c, const std::string& device, double bias, double deviation) {
    return entry("printed", c, device, {value("hole_width", 2e-6 + 2.0 * bias, 2.0 * deviation)});
}

/// The width in the resist is exact here, so that the etch alone is learned from.
RecordEntry stated_etch(const std::string& c, const std::string& device, double bias, double deviation) {
    return entry("etched", c, device, {value("process.etch_bias", bias, deviation)});
}

RecordEntry released(const std::string& c, const std::string& device, double rate, double deviation) {
    constexpr double time = 1320.0;
    return entry("released", c, device,
                 {value("release.undercut", rate * time, deviation * time), value("release.time", time),
                  word("bath", "bath of the north quay")});
}

RecordEntry fitted(const std::string& c, const std::string& device, double stress, double deviation) {
    return entry("fitted", c, device, {value("film.stress", stress, deviation)});
}

}  // namespace

TEST_SUITE("reference") {
    TEST_CASE("four hundred laboratories each: learned biases, rates and stress are as sure as they say") {
        const Truth bias{0.11e-6, 0.03e-6, 0.015e-6, 0.01e-6}, etch{0.05e-6, 0.02e-6, 0.01e-6, 0.01e-6};
        const Truth rate{1.6e-9, 0.12e-9, 0.03e-9, 0.03e-9}, stress{0.96e9, 2e7, 3e6, 4e6};
        for (const int chips : {5, 12}) {
            require_coverage({"process.lithography_bias", bias, chips, 4, printed}, 1000);
            require_coverage({"process.etch_bias", etch, chips, 3, stated_etch}, 2000);
            require_coverage({"release.rate", rate, chips, 2, released}, 3000);
            require_coverage({"film.stress", stress, chips, 3, fitted}, 4000);
        }
    }

    TEST_CASE("scatter is told apart: between chips and within them") {
        double between = 0.0, within = 0.0;
        const Truth bias{0.11e-6, 0.03e-6, 0.015e-6, 0.01e-6};
        for (unsigned seed = 0; seed < 60; ++seed) {
            Dice dice(7000 + seed);
            std::vector<RecordEntry> entries;
            for (int c = 0; c < 8; ++c) {
                const std::string name = "chip " + std::to_string(c);
                const double own = bias.mean + bias.between * dice.normal();
                for (RecordEntry& e : chip(name, 4).entries) entries.push_back(std::move(e));
                for (int d = 1; d <= 4; ++d) {
                    const double there = own + bias.within * dice.normal();
                    const double seen = there + bias.measured * dice.normal();
                    entries.push_back(printed(name, "A" + std::to_string(d), seen, bias.measured));
                }
            }
            const Pooled p = learn(corrected(entries)).learned.front().pooled;
            between += p.between * p.between / 60.0;
            within += p.within * p.within / 60.0;
        }
        CHECK(std::abs(std::sqrt(between) / bias.between - 1.0) < 0.1);
        CHECK(std::abs(std::sqrt(within) / std::hypot(bias.within, bias.measured) - 1.0) < 0.05);
    }
}

// A chip's devices answer as they do alone, whoever works beside them, and share one bath.
#include "support/approx.h"
#include "support/chip_folder.h"

#include "tymbal/release/etch.h"
#include "tymbal/task/predict_chip.h"
#include "tymbal/task/release_chip.h"

#include <doctest/doctest.h>

#include <algorithm>
#include <cmath>
#include <string>
#include <vector>

using namespace tymbal;
using sample::Approx;
using sample_chip::Folder;

namespace {

const std::string silicon = "[chip]\nwidth = \"10 mm\"\nlength = \"8 mm\"\nthickness = \"525 um\"\n";
const std::string film =
    "[film]\nmaterial = \"nitride-stoichiometric\"\nthickness = \"100 nm\"\nstress = \"1.00 +- 0.03 GPa\"\n";
const std::string bath =
    "[release]\nsacrificial = \"oxide-thermal\"\ngap = \"2 um\"\netchant = \"buffered-hf-5to1\"\nundercut = "
    "\"2.2 um\"\n";
const std::string quick = "[solve]\nmodes = 3\naccuracy = 1e-2\n";
const std::string field =
    "[outline]\nshape = \"hole-field\"\n[holes]\nlattice = \"triangular\"\ndiameter = \"2 "
    "um\"\npitch = \"5 um\"\nfield = [\"40 um\", \"40 um\"]\n";
const std::string drum =
    "[outline]\nshape = \"rectangle\"\nwidth = \"120 um\"\nheight = \"100 um\"\n[holes]\nlattice = "
    "\"square\"\ndiameter = \"2 um\"\npitch = \"5 um\"\n";

std::string device(const std::string& name, const std::string& position, const std::string& more = "") {
    return "[[device]]\nname = \"" + name + "\"\ndesign = \"drum.toml\"\nposition = [" + position + "]\n" + more;
}

std::string limit(const std::string& time) {
    return "change = { \"limits.largest_release_time\" = \"" + time + "\" }\n";
}

/// Of the front beyond the edge of the hole, which recedes as the film does.
double undercut_rate() {
    const auto& rates = sample::table().etchants.at("buffered-hf-5to1").rates;
    return rates.at("oxide-thermal").si() - rates.at("nitride-stoichiometric").si();
}

std::vector<double> frequencies(const PredictedDevice& device) {
    std::vector<double> all;
    for (const PredictedMode& m : device.prediction->modes) all.push_back(m.mode.frequency_hz);
    return all;
}

}  // namespace

TEST_SUITE("unit") {
    TEST_CASE("devices of a chip have the digits they have alone, with one thread and with two") {
        const Folder folder;
        const ChipDesign chip =
            folder.read(silicon + film + quick +
                            "[[array]]\nname = \"B\"\ndesign = \"drum.toml\"\nposition = [\"-2 mm\", \"0 mm\"]\nstep = "
                            "[\"1 mm\", \"0 mm\"]\nvary_x = \"outline.width=100um,120um,140um\"\n",
                        drum);
        const ChipPrediction one = predict_chip(chip, sample::table(), {1, 1e3});
        const ChipPrediction two = predict_chip(chip, sample::table(), {2, 1e3});
        REQUIRE(one.devices.size() == 3);
        for (std::size_t k = 0; k < 3; ++k) {
            REQUIRE(one.devices[k].prediction.has_value());
            CHECK(one.devices[k].name == chip.devices[k].name);
            CHECK(frequencies(one.devices[k]) == frequencies(two.devices[k]));
        }
        const Prediction alone = predict(chip.devices[1].device, sample::table());
        CHECK(frequencies(one.devices[1]).front() == alone.modes.front().mode.frequency_hz);
        CHECK(one.devices[2].width_m == Approx(140e-6));
    }

    TEST_CASE("modes of twins lie close, of one device alone never, and the nearest pair comes first") {
        const Folder folder;
        const ChipDesign chip = folder.read(
            silicon + film + quick + device("A", "\"1 mm\", \"0 mm\"") + device("B", "\"-1 mm\", \"0 mm\"") +
                device("C", "\"0 mm\", \"2 mm\"", "change = { \"outline.width\" = \"119.9 um\" }\n"),
            drum);
        const ChipPrediction p = predict_chip(chip, sample::table(), {1, 5e3});
        REQUIRE(p.close.size() >= 3);
        CHECK(p.close.front().apart_hz == 0.0);
        for (std::size_t k = 0; k < p.close.size(); ++k) {
            CHECK(p.close[k].lower.device != p.close[k].upper.device);
            CHECK(p.close[k].apart_hz <= 5e3);
            if (k > 0) CHECK(p.close[k - 1].apart_hz <= p.close[k].apart_hz);
        }
        CHECK(predict_chip(chip, sample::table(), {1, 0.0}).close.size() == 3);  // the twins' three modes
    }

    TEST_CASE("a device without an answer is told, and the others have theirs") {
        const Folder folder;
        const ChipDesign chip =
            folder.read(silicon +
                            "[film]\nmaterial = \"nitride-stoichiometric\"\nthickness = \"100 nm\"\nstress = "
                            "\"-20 kPa\"\n" +
                            quick + device("A", "\"1 mm\", \"0 mm\"", "change = { \"outline.scale\" = 0.1 }\n") +
                            device("B", "\"-1 mm\", \"0 mm\"", "change = { \"outline.scale\" = 8.0 }\n"),
                        "[outline]\nshape = \"rectangle\"\nwidth = \"120 um\"\nheight = \"100 um\"\n");
        const ChipPrediction p = predict_chip(chip, sample::table(), {2, 1e3});
        CHECK(p.devices[0].prediction.has_value());
        CHECK_FALSE(p.devices[1].prediction.has_value());
        REQUIRE(p.warnings.size() >= 1);
        CHECK(p.warnings.front().text.find("device B") != std::string::npos);
    }

    TEST_CASE("the bath stays until the slowest device is free and ends at the first limit, each by name") {
        const Folder folder;
        const std::string small = "change = { \"holes.diameter\" = \"1.6 um\" }\n";
        const ChipDesign chip =
            folder.read(silicon + film + bath + "[limits]\nlargest_film_loss = \"90 nm\"\n" +
                            device("A", "\"1 mm\", \"0 mm\"", limit("1 h")) + device("B", "\"-1 mm\", \"0 mm\"", small),
                        field);
        const ChipRelease r = release_chip(chip, sample::table(), 2);
        REQUIRE(r.window.opens_s.has_value());
        const double a = r.devices[0].report.etch->clear_s, b = r.devices[1].report.etch->clear_s;
        CHECK(b > a);
        CHECK(*r.window.opens_s == b);
        CHECK(r.window.opened_by == std::vector<std::string>{"B"});
        double first = 1e300;
        for (const ReleasedDevice& d : r.devices)
            for (const WindowEnd& end : d.report.etch->ends) first = std::min(first, end.time_s);
        CHECK(*r.window.closes_s == first);
        CHECK(r.window.is_open());
        CHECK(r.to_move.empty());
    }

    TEST_CASE("without a common window the device is named whose leaving gives the others one") {
        const Folder folder;
        const double rate = undercut_rate();
        const double clear = (5e-6 / std::sqrt(3.0) - 0.5 * 2e-6) / rate;  // of A and B: centre of three holes
        const std::string tight = std::to_string(clear * 1.05) + " s";
        const std::string slow = "change = { \"holes.diameter\" = \"1.4 um\" }\n";
        const ChipDesign chip =
            folder.read(silicon + film + bath + device("A", "\"1 mm\", \"0 mm\"", limit(tight)) +
                            device("B", "\"-1 mm\", \"0 mm\"", limit(tight)) + device("C", "\"0 mm\", \"2 mm\"", slow),
                        field);
        const ChipRelease r = release_chip(chip, sample::table(), 1);
        CHECK(r.devices[0].report.etch->clear_s == Approx(clear));
        CHECK_FALSE(r.window.is_open());
        CHECK(r.window.opened_by == std::vector<std::string>{"C"});
        CHECK(r.window.closed_by == std::vector<std::string>{"A", "B"});
        CHECK(r.to_move == std::vector<std::string>{"C"});
        CHECK(std::any_of(r.warnings.begin(), r.warnings.end(),
                          [](const Warning& w) { return w.code == "no-common-window"; }));
    }

    TEST_CASE("who has to leave does not depend on the order in the file, and every two fronts that meet are told") {
        const Folder folder;
        const std::string a = device("A", "\"0 um\", \"0 mm\""), b = device("B", "\"90 um\", \"0 mm\""),
                          c = device("C", "\"44 um\", \"0 mm\"");
        const auto released = [&](const std::string& devices) {
            return release_chip(folder.read(silicon + film + bath + devices, field), sample::table(), 1);
        };
        const ChipRelease one = released(a + b + c), other = released(c + b + a);
        CHECK(one.to_move == other.to_move);
        CHECK(std::count_if(one.ends.begin(), one.ends.end(),
                            [](const ChipWindowEnd& e) { return e.limit == "fronts meet"; }) == 3);
        CHECK(*one.window.closes_s == Approx(*other.window.closes_s));
    }

    TEST_CASE("an opening's front starts at the opening, beyond the outline too; a window without holes has none") {
        const Folder folder;
        const std::string plain = "[outline]\nshape = \"rectangle\"\nwidth = \"100 um\"\nheight = \"100 um\"\n";
        const std::string cut = "[[openings]]\nshape = \"rectangle\"\nwidth = \"20 um\"\nheight = \"160 um\"\n";
        const std::string two = device("A", "\"0 um\", \"0 um\"") + device("B", "\"0 um\", \"170 um\"");
        const auto meeting = [&](const std::string& design) {
            const ChipRelease r = release_chip(folder.read(silicon + film + bath + two, design), sample::table(), 1);
            return r.ends.empty() ? 0.0 : r.ends.front().time_s;
        };
        CHECK(meeting(plain) == 0.0);
        CHECK(meeting(plain + cut) == Approx(5e-6 / undercut_rate()).epsilon(1e-6));
    }

    TEST_CASE("fronts of neighbours meet after the time that half their distance takes at the bath's rate") {
        const Folder folder;
        const ChipDesign chip =
            folder.read(silicon + film + bath + device("A", "\"0 um\", \"0 mm\"") + device("B", "\"60 um\", \"0 mm\"") +
                            device("C", "\"0 mm\", \"3.95 mm\""),
                        field);
        const ChipRelease r = release_chip(chip, sample::table(), 1);
        const auto end = [&](const std::string& words) {
            const auto found = std::find_if(r.ends.begin(), r.ends.end(), [&](const ChipWindowEnd& e) {
                return e.limit.find(words) != std::string::npos;
            });
            REQUIRE(found != r.ends.end());
            return *found;
        };
        const double rate = undercut_rate();
        const double width = r.devices[0].report.front->width_m, height = r.devices[0].report.front->height_m;
        const ChipWindowEnd meet = end("fronts meet"), edge = end("edge");
        CHECK(meet.devices == std::vector<std::string>{"A", "B"});
        CHECK(meet.time_s == Approx((2.2e-6 + 0.5 * (60e-6 - width)) / rate).epsilon(1e-3));
        CHECK(edge.devices == std::vector<std::string>{"C"});
        CHECK(edge.time_s == Approx((2.2e-6 + 50e-6 - 0.5 * height) / rate).epsilon(1e-3));
    }
}

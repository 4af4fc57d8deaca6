// compare with a chip file: whose lines are whose, one film for all, what is written and recorded.
#include "support/places.h"
#include "support/program.h"

#include <doctest/doctest.h>
#include <nlohmann/json.hpp>

#include <algorithm>
#include <cmath>
#include <cstdlib>
#include <sstream>
#include <string>
#include <vector>

using namespace program_run;
using nlohmann::json;

namespace {

std::string chip_text(const std::string& stress) {
    return "title = \"Three drums\"\n[chip]\nwidth = \"10 mm\"\nlength = \"8 mm\"\nthickness = \"525 um\"\n"
           "[film]\nmaterial = \"nitride-stoichiometric\"\nthickness = \"100 nm\"\nstress = '" +
           stress +
           "'  # of the wafer\n[solve]\nmodes = 5\n[[array]]\nname = \"D\"\ndesign = \"disc.toml\"\n"
           "position = [\"-2 mm\", \"0 mm\"]\nstep = [\"2 mm\", \"0 mm\"]\nvary_x = "
           "\"outline.diameter=120um,180um,240um\"\n";
}

/// The chip, and in lines.csv the lines of one like it with 950 MPa.
std::string chip() {
    write("disc.toml", "title = \"Drum\"\n[outline]\nshape = \"disc\"\ndiameter = \"100 um\"\n");
    const std::string truth = write("truth.toml", chip_text("950 MPa")).string();
    REQUIRE(tymbal("predict " + truth + " --quiet --csv " + (scratch() / "lines.csv").string()).status == 0);
    return write("chip.toml", chip_text("1.00 +- 0.05 GPa")).string();
}

std::string lines() {
    return (scratch() / "lines.csv").string();
}

/// The rows of lines.csv that name a device, under its header, in a file named after it.
std::string lines_of(const std::string& device) {
    std::istringstream all(slurp(lines()));
    std::string row, text;
    std::getline(all, text);
    text += '\n';
    while (std::getline(all, row))
        if (row.rfind(device + ",", 0) == 0) text += row + '\n';
    text.replace(0, std::string("device").size(), "drum");  // the file's name says it
    return write(device + ".csv", text).string();
}

}  // namespace

TEST_SUITE("cli") {
    TEST_CASE("a chip's devices are fitted together: film, names, chip file and record") {
        const std::string file = chip(), fitted = (scratch() / "fitted.toml").string();
        const std::string record = (scratch() / "record.db").string(), table = (scratch() / "peaks.csv").string();
        const Run run =
            tymbal("compare " + file + " " + lines() + " --quiet --json " + (scratch() / "c.json").string() +
                   " --csv " + table + " --write-design " + fitted + " --record " + record);
        REQUIRE_MESSAGE(run.status == 0, run.err);
        const json answer = json::parse(slurp(scratch() / "c.json"));
        REQUIRE(answer["devices"].size() == 3);
        for (std::size_t d = 0; d < 3; ++d) {
            CHECK(answer["devices"][d]["name"] == "D" + std::to_string(d + 1));
            CHECK(answer["devices"][d]["peaks"][0]["mode_index"] == 1);
            CHECK(std::abs(answer["devices"][d]["against_others"]["value"].get<double>()) < 1e-3);
        }
        const double stress = answer["fit"]["stress_pa"], deviation = answer["fit"]["stress_std_pa"];
        CHECK(std::abs(stress - 950e6) < 0.5 * deviation);
        CHECK(slurp(table).find("\nD3,") != std::string::npos);
        const std::string text = slurp(fitted);
        CHECK(text.find("stress = '95") != std::string::npos);
        CHECK(text.find("# of the wafer") != std::string::npos);
        CHECK(text.find("[[array]]") != std::string::npos);
        CHECK(tymbal("predict " + fitted + " --quiet").status == 0);
        const Run shown = tymbal("record show --record " + record + " --json -");
        REQUIRE(shown.status == 0);
        const json entries = json::parse(shown.out).at("chip").at("entries");
        const auto fits =
            std::count_if(entries.begin(), entries.end(), [](const json& e) { return e["step"] == "fitted"; });
        CHECK(fits == 3);
    }

    TEST_CASE("files named after their devices say the same as one with a column") {
        const std::string file = chip();
        const Run one = tymbal("compare " + file + " " + lines() + " --json -");
        const Run several = tymbal("compare " + file + " " + lines_of("D2") + " " + lines_of("D1") + " " +
                                   lines_of("D3") + " --json -");
        REQUIRE_MESSAGE(one.status == 0, one.err);
        REQUIRE_MESSAGE(several.status == 0, several.err);
        CHECK(json::parse(one.out)["fit"] == json::parse(several.out)["fit"]);
    }

    TEST_CASE("a ringdown of one device is that device's") {
        const std::string file = chip();
        std::string decay = "time (s),amplitude (V)\n";
        for (int k = 0; k < 60; ++k)
            decay += std::to_string(0.02 * k) + "," + std::to_string(std::exp(-3.0 * 0.02 * k)) + "\n";
        const Run run =
            tymbal("compare " + file + " " + write("D2.csv", decay).string() + " --frequency '2 MHz' --json -");
        REQUIRE_MESSAGE(run.status == 0, run.err);
        CHECK(json::parse(run.out)["devices"][0]["name"] == "D2");
    }

    TEST_CASE("without a record a measured file is read once, so that it may come through a pipe") {
        const std::string pipe = (scratch() / "pipe.csv").string(), lists = places::source_dir() + "/examples/";
        REQUIRE(std::system(("mkfifo " + pipe + " && (cat " + lists + "measured-peaks.csv >" + pipe + " &)").c_str()) ==
                0);
        const Run run = tymbal("compare " + example("plain-square") + " " + pipe + " --kind peaks --json -");
        REQUIRE_MESSAGE(run.status == 0, run.err);
        CHECK(json::parse(run.out)["fit"].is_object());
    }

    TEST_CASE("what does not go with a chip, or with one design, is refused with the cure") {
        const std::string file = chip(), own = lines_of("D1");
        const std::string square = example("plain-square"), disc = (scratch() / "disc.toml").string();
        const std::string stray = write("X9.csv", slurp(own)).string();
        const std::string nameless = write("nameless.csv", "device,frequency (MHz)\nD1,3\n,4\n").string();
        const std::string target = " --write-design " + own;
        struct Wrong {
            std::string arguments, words;
        };
        for (const Wrong& wrong : {Wrong{file + " " + stray, "X9.csv: device: 'X9' is no device of "},
                                   Wrong{file + " " + own + " " + lines(), "is measured in "},
                                   Wrong{file + " " + nameless, "nameless.csv:3: device: is empty"},
                                   Wrong{file + " " + own + " --also " + disc + " " + own, "--also: is for designs"},
                                   Wrong{file + " " + own + target, "D1.csv"},
                                   Wrong{square + " " + own + " " + lines(), "MEASURED: is more than one file"},
                                   Wrong{square + " " + lines(), "names 3 devices"}}) {
            const Run run = tymbal("compare " + wrong.arguments);
            CAPTURE(wrong.arguments);
            CHECK(run.status == 2);
            CHECK_MESSAGE(run.err.find(wrong.words) != std::string::npos, run.err);
        }
    }
}

// Pictures before anything is computed, and drawings of films with openings and of chips.
#include "support/places.h"
#include "support/program.h"

#include <doctest/doctest.h>
#include <nlohmann/json.hpp>

#include <string>

using namespace program_run;
using nlohmann::json;

namespace {

std::string in_examples(const std::string& file) {
    return places::source_dir() + "/examples/" + file;
}

}  // namespace

TEST_SUITE("cli") {
    TEST_CASE("no result takes the place of a file that the chip was read from") {
        const fs::path folder = scratch() / "kept";
        fs::copy(places::source_dir() + "/examples/whole-chip", folder, fs::copy_options::recursive);
        const std::string chip = (folder / "chip.toml").string(), pad = (folder / "pad.toml").string(),
                          buoy = (folder / "buoy.svg").string();
        const std::string before = slurp(pad), picture = slurp(buoy);
        REQUIRE_FALSE(before.empty());
        for (const std::string& words :
             {"pattern " + chip + " --out " + buoy, "draw " + chip + " --out " + buoy,
              "predict " + chip + " --modes 1 --accuracy 0.1 --json " + pad, "release " + chip + " --json " + pad}) {
            CAPTURE(words);
            const Run run = tymbal(words);
            CHECK(run.status == 2);
            CHECK_MESSAGE(run.err.find("belongs to it") != std::string::npos, run.err);
        }
        CHECK(slurp(pad) == before);
        CHECK(slurp(buoy) == picture);
    }

    TEST_CASE("every example design has a picture") {
        int drawn = 0;
        for (const auto& entry : fs::directory_iterator(in_examples(""))) {
            const std::string name = entry.path().stem().string();
            if (entry.path().extension() != ".toml" || name == "wafer") continue;
            CAPTURE(name);
            const fs::path out = scratch() / (name + ".svg");
            const Run run = tymbal("draw " + entry.path().string() + " --out " + out.string());
            CHECK_MESSAGE(run.status == 0, run.err);
            const std::string svg = slurp(out);
            CHECK(svg.rfind("</svg>\n") == svg.size() - 7);
            CHECK(svg.find("nan") == std::string::npos);
            ++drawn;
        }
        CHECK(drawn > 15);
    }

    TEST_CASE("every example with holes, openings or free sides has a drawing for the mask writer") {
        for (const char* name : {"tethered-pad", "filleted-pad", "web", "ribbon", "string", "quiet-pad", "few-holes"}) {
            CAPTURE(name);
            const fs::path out = scratch() / "one.gds";
            const Run run = tymbal("pattern " + example(name) + " --out " + out.string() + " --json -");
            REQUIRE_MESSAGE(run.status == 0, run.err);
            CHECK(fs::file_size(out) > 300);
            const json root = json::parse(run.out);
            if (!root["openings"].is_null())
                CHECK(root["openings"]["drawn_area_m2"].get<double>() ==
                      doctest::Approx(root["openings"]["released_area_m2"].get<double>()).epsilon(1e-3));
        }
    }

    TEST_CASE("layers go where a file sends them, and a wrong file is refused with line and key") {
        const std::string to = " --out " + (scratch() / "l.gds").string() + " --json - --layers ";
        const std::string chip = "pattern " + in_examples("whole-chip/chip.toml") + to;
        const Run run = tymbal(chip + write("layers.toml", "holes = [12, 3]\nlabel = [63, 0]\n").string());
        REQUIRE_MESSAGE(run.status == 0, run.err);
        const json root = json::parse(run.out);
        CHECK(root["layers"]["holes"] == 12);
        CHECK(root["datatypes"]["holes"] == 3);
        CHECK(root["layers"]["label"] == 63);
        CHECK(root["layers"]["openings"] == 5);
        CHECK(root["devices"].size() == 9);
        const Run wrong = tymbal(chip + write("layers.toml", "holes = [12, 3]\nhole = [1, 0]\n").string());
        CHECK(wrong.status == 2);
        CHECK(wrong.err.find("layers.toml:2: hole: is no kind of figure") != std::string::npos);
        CHECK(tymbal(chip + write("layers.toml", "holes = 12\n").string()).status == 2);
        CHECK(tymbal(chip + write("layers.toml", "holes = [12, -1]\n").string()).status == 2);
    }

    TEST_CASE("a chip is drawn as GDSII, SVG, table of devices and map") {
        for (const char* ending : {".gds", ".svg", ".csv"}) {
            const fs::path out = scratch() / (std::string("chip") + ending);
            const Run run = tymbal("pattern " + in_examples("whole-chip/chip.toml") + " --out " + out.string());
            REQUIRE_MESSAGE(run.status == 0, run.err);
            CHECK(fs::file_size(out) > 300);
        }
        const std::string table = slurp(scratch() / "chip.csv");
        CHECK(table.find("\"P1\",2500,2000,") != std::string::npos);
        const fs::path map = scratch() / "map.svg";
        CHECK(tymbal("draw " + in_examples("whole-chip/chip.toml") + " --out " + map.string()).status == 0);
        CHECK(slurp(map).find(">H3</text>") != std::string::npos);
        CHECK(tymbal("draw " + in_examples("whole-chip/chip.toml") + " --out map.png").status == 2);
    }
}

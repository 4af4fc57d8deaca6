// Pictures before anything is computed, and drawings of films with openings and of chips.
#include "support/places.h"
#include "support/program.h"

#include <doctest/doctest.h>
#include <nlohmann/json.hpp>

#include <array>
#include <fstream>
#include <sstream>
#include <string>
#include <vector>

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
            CHECK_MESSAGE(run.err.find("is read by this run (") != std::string::npos, run.err);
        }
        CHECK(slurp(pad) == before);
        CHECK(slurp(buoy) == picture);
    }

    TEST_CASE("a device's answer takes the place of no file that its chip names, nor of the table or the record") {
        const fs::path folder = scratch() / "kept-by-device", table = scratch() / "kept-table";
        fs::copy(places::source_dir() + "/examples/whole-chip", folder, fs::copy_options::recursive);
        fs::copy(places::source_dir() + "/materials", table, fs::copy_options::recursive);
        const std::string chip = (folder / "chip.toml").string(), gases = (table / "gases.toml").string(),
                          record = (folder / "record.db").string();
        REQUIRE(tymbal("record new " + chip + " --quiet").status == 0);
        const std::string device = chip + " --device S2 --modes 1 --accuracy 0.1 --json ";
        for (const auto& asked : std::vector<std::array<std::string, 2>>{
                 {"sweep " + device, (folder / "pad.toml").string()},
                 {"cavity " + device, (folder / "buoy.svg").string()},
                 {"size " + device, (folder / "chip.toml").string()},
                 {"predict " + chip + " --materials " + table.string() + " --csv ", gases},
                 {"release " + chip + " --record " + record + " --run-sheet ", record}}) {
            const std::string &words = asked[0], &kept = asked[1];
            const std::string before = slurp(kept);
            REQUIRE_FALSE(before.empty());
            const std::string more = words.rfind("sweep", 0) == 0  ? " --vary holes.diameter=2um,2.1um"
                                     : words.rfind("size", 0) == 0 ? " --target-frequency '3 MHz'"
                                                                   : "";
            const Run run = tymbal(words + kept + more);
            CAPTURE(words);
            CHECK(run.status == 2);
            CHECK_MESSAGE(run.err.find("is read by this run (") != std::string::npos, run.err);
            CHECK(slurp(kept) == before);
        }
    }

    TEST_CASE("no result takes the place of a file of holes that a sweep reads, nor of another device's") {
        const fs::path folder = scratch() / "swept-holes";
        fs::create_directories(folder);
        const std::string few = "x (um),y (um)\n-5,0\n5,0\n", more = "x (um),y (um)\n-5,0\n0,5\n5,0\n";
        const fs::path one = write("swept-holes/one.csv", few), two = write("swept-holes/two.csv", more);
        const std::string film = "[film]\nmaterial = \"nitride-stoichiometric\"\nthickness = \"100 nm\"\n",
                          rest =
                              "[outline]\nshape = \"disc\"\ndiameter = \"60 um\"\n[holes]\nlattice = \"file\"\n"
                              "diameter = \"2 um\"\nfile = ";
        const std::string design = write("swept-holes/design.toml", film + rest + "\"one.csv\"\n").string();
        write("swept-holes/a.toml", rest + "\"one.csv\"\n");
        write("swept-holes/b.toml", rest + "\"two.csv\"\n");
        const std::string chip =
            write("swept-holes/chip.toml",
                  "[chip]\nwidth = \"5 mm\"\nlength = \"5 mm\"\nthickness = \"525 um\"\n" + film +
                      "[[device]]\nname = \"A\"\ndesign = \"a.toml\"\nposition = [\"0 mm\", \"1 "
                      "mm\"]\n[[device]]\nname = \"B\"\ndesign = \"b.toml\"\nposition = [\"0 mm\", "
                      "\"-1 mm\"]\n")
                .string();
        const std::string cheap = " --modes 1 --accuracy 0.1 --csv " + two.string();
        const std::string free = write("swept-holes/free.toml", film + rest +
                                                                    "\"one.csv\"\n[free]\n\"holes.file\" = "
                                                                    "[\"one.csv\", \"two.csv\"]\n[limits]\n"
                                                                    "frequency = [\"1 MHz\", \"9 MHz\"]\n")
                                     .string();
        for (const std::string& words : {"sweep " + design + " --vary holes.file=one.csv,two.csv" + cheap,
                                         "choose " + free + " --samples 4" + cheap,
                                         "sweep " + chip + " --device A --vary film.temperature=290K,300K" + cheap}) {
            const Run run = tymbal(words);
            CAPTURE(words);
            CHECK(run.status == 2);
            CHECK_MESSAGE(run.err.find("two.csv: is read by this run (holes)") != std::string::npos, run.err);
            CHECK(slurp(two) == more);
        }
        CHECK(slurp(one) == few);
    }

    TEST_CASE("no result takes the place of the file that a design's holes are read from") {
        const fs::path folder = scratch() / "own-holes";
        fs::create_directories(folder);
        const fs::path holes = write("own-holes/modes.csv", "x (um),y (um),drawn diameter (um)\n-5,0,2\n5,0,2\n");
        std::string text = slurp(in_examples("cavity.toml"));
        text.insert(text.find("wavelength"), "below = \"none\"\n");
        text.append("\n[holes]\nlattice = \"file\"\nfile = \"modes.csv\"\ndiameter = \"2 um\"\n");
        text.append("[release]\nundercut = \"2 um\"\ngap = \"2 um\"\n");
        const fs::path design = write("own-holes/design.toml", text);
        const std::string before = slurp(holes), cheap = " --modes 1 --accuracy 0.1";
        for (const auto& [command, more, outputs] : std::vector<std::array<std::string, 3>>{
                 {"predict", cheap, "json csv plot"},
                 {"release", "", "json run-sheet"},
                 {"plan", cheap, "json csv"},
                 {"size", cheap + " --target-frequency '1 MHz'", "json write-design"},
                 {"sweep", cheap + " --vary film.stress=0.9GPa,1GPa", "json csv plot"},
                 {"choose", cheap + " --samples 4", "json csv write-design"},
                 {"light", "", "json csv plot"},
                 {"light", " --tune '1550 nm'", "json"},
                 {"cavity", cheap, "json csv plot"},
                 {"report", cheap, "out"},
                 {"pattern", "", "out"},
                 {"film", " " + in_examples("wafer.toml") + " --design", "json csv write-design"},
             }) {
            std::istringstream all(outputs);
            for (std::string output; all >> output;) {
                const bool last = command == "film";  // the design is an option there
                std::string words = command + (last ? more : "") + " " + design.string() + (last ? "" : more);
                words.append(" --").append(output).append(" ").append(holes.string());
                CAPTURE(words);
                const Run run = tymbal(words);
                CHECK(run.status == 2);
                CHECK_MESSAGE(run.err.find("is read by this run (") != std::string::npos, run.err);
                CHECK(slurp(holes) == before);
                write("own-holes/modes.csv", before);
            }
        }
        const Run fields = tymbal("predict " + design.string() + cheap + " --fields-csv --fields " + folder.string());
        CHECK(fields.status == 2);
        CHECK(slurp(holes) == before);
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
                      Approx(root["openings"]["released_area_m2"].get<double>()).epsilon(1e-3));
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

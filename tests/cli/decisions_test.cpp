// size and sweep as a user runs them: streams, files, exit status, a sweep that is killed.
#include "support/places.h"
#include "support/program.h"

#include <doctest/doctest.h>
#include <nlohmann/json.hpp>

#include <cstdlib>
#include <fstream>
#include <string>

using namespace program_run;
using nlohmann::json;

namespace {

const std::string plain =
    "title = \"plain\"\n[film]\nmaterial = \"nitride-stoichiometric\"\nthickness = \"50 nm\"\nstress = \"1 GPa\"\n"
    "[outline]\nshape = \"rectangle\"\nwidth = \"500 um\"\nheight = \"500 um\"\n[solve]\nmodes = 2\n";

}  // namespace

TEST_SUITE("cli") {
    TEST_CASE("size prints lines that predict to the target, and JSON alone on standard output") {
        const std::string design = write("plain.toml", plain).string();
        const Run run = tymbal("size " + design + " --target-frequency '1.2 MHz' --mode 1,1 --json -");
        REQUIRE(run.status == 0);
        CHECK(run.err.empty());
        const json root = json::parse(run.out);
        CHECK(root["landed"] == true);
        CHECK(root["frequency_hz"].get<double>() == doctest::Approx(1.2e6).epsilon(1e-4));
        CHECK(root["changes"]["outline.width"].get<double>() == doctest::Approx(root["changes"]["outline.height"]));
        CHECK(root["tolerance"]["inputs"].size() == 3);
        const Run table = tymbal("size " + design + " --target-frequency '1.2 MHz'");
        CHECK(table.out.find("width = \"") != std::string::npos);
        CHECK(widest_line(table.out) <= 80);
    }

    TEST_CASE("size says what it cannot do: status 1 without a size, status 2 for bad wishes") {
        const std::string design = write("plain.toml", plain).string();
        CHECK(tymbal("size " + design + " --target-frequency '1 THz'").status == 2);  // a unit it does not know
        CHECK(tymbal("size " + design + " --target-frequency '900 GHz'").status == 1);
        CHECK(tymbal("size " + design).err.find("--target-frequency") != std::string::npos);
        CHECK(tymbal("size " + design + " --target-frequency '1 MHz' --mode 9,9").status == 2);
        CHECK(tymbal("size " + design + " --target-frequency '0 Hz'")
                  .err.find("--target-frequency: must be above zero") != std::string::npos);
    }

    TEST_CASE("a sweep that is killed is finished by --resume to the bytes of one that was not" *
              doctest::test_suite("slow")) {
        const std::string design = write("plain.toml", plain).string();
        const std::string work =
            " --vary film.stress=0.2GPa..1GPa:14 --vary film.thickness=50nm,80nm,1m --quiet --csv ";
        const std::string whole = (scratch() / "whole.csv").string(), broken = (scratch() / "broken.csv").string();
        REQUIRE(tymbal("sweep " + design + work + whole).status == 0);
        // Killed once some rows stand, however slow the machine: a kill before the first line would leave nothing to
        // resume.
        const std::string killed = places::program() + " sweep " + design + work + broken +
                                   " 2>/dev/null & p=$!; while kill -0 $p 2>/dev/null && [ $(cat " + broken +
                                   " 2>/dev/null | wc -l) -lt 9 ]; do sleep 0.02; done; kill -KILL $p; wait $p";
        CHECK(std::system(("bash -c '" + killed + "' 2>/dev/null").c_str()) != -1);
        std::ofstream(broken, std::ios::app) << "17,0.3";  // a row that the kill cut
        CHECK(tymbal("sweep " + design + work + broken).status == 2);
        CHECK(tymbal("sweep " + design + work + broken + " --modes 1 --resume").status == 2);
        REQUIRE(tymbal("sweep " + design + work + broken + " --resume --threads 1").status == 0);
        CHECK(slurp(broken) == slurp(whole));
        CHECK(slurp(whole).find("out of range") != std::string::npos);  // the metre-thick film has its own rows
    }

    TEST_CASE("shards join to the whole; table, JSON and picture come from the same rows") {
        const std::string design = write("plain.toml", plain).string();
        const std::string work = " --vary film.stress=0.2GPa..1GPa:5 --quiet --csv ";
        std::string parts;
        for (const std::string k : {"1", "2"}) {
            const std::string part = (scratch() / ("part" + k + ".csv")).string();
            REQUIRE(tymbal("sweep " + design + work + part + " --shard " + k + "/2").status == 0);
            parts += " " + part;
        }
        const Run joined = tymbal("sweep --join" + parts + " --csv -"), whole = tymbal("sweep " + design + work + "-");
        CHECK(joined.out == whole.out);
        CHECK(joined.out.size() > 500);
        CHECK(tymbal("sweep --join" + parts + " --csv " + (scratch() / "part1.csv").string()).status == 2);
        const std::string svg = (scratch() / "s.svg").string();
        const Run data = tymbal("sweep --join" + parts + " --json - --plot " + svg);
        CHECK(json::parse(data.out)["rows"].size() == 5);
        CHECK(slurp(svg).find("</svg>") != std::string::npos);
        const Run table = tymbal("sweep --join" + parts + " --mode 1");
        CHECK(table.out.find("release time: not known") != std::string::npos);
        CHECK(widest_line(table.out) <= 80);
    }

    TEST_CASE("choose prints lines for the design file, a reason and the trade-offs, in tables and JSON" *
              doctest::test_suite("slow")) {
        const std::string design =
            write("choose.toml",
                  plain + "[readout]\nwavelength = \"1064 nm\"\nspot_radius = \"100 um\"\n[target]\n" +
                      "frequency = \"1 MHz\"\n[free]\n\"outline.width\" = [\"200 um\", \"800 um\"]\n" +
                      "\"film.thickness\" = [\"20 nm\", \"120 nm\"]\n[limits]\nleast_reflectivity = 0.1\n")
                .string();
        const std::string csv = (scratch() / "best.csv").string();
        const Run run = tymbal("choose " + design + " --samples 8 --json - --csv " + csv);
        REQUIRE(run.status == 0);
        const json root = json::parse(run.out);
        CHECK(root["recommended"]["changes"].contains("film.thickness"));
        CHECK(root["recommended"]["frequency_error"].get<double>() < 0.0101);
        CHECK(root["reason"].get<std::string>().find("Q f") != std::string::npos);
        CHECK(root["best"].size() >= 1);
        CHECK(slurp(csv).find("film.thickness,") != std::string::npos);
        const Run table = tymbal("choose " + design + " --samples 8 --explain");
        CHECK(table.out.find("HOW EACH FIGURE IS OBTAINED") != std::string::npos);
        CHECK(table.out.find("INPUTS AND THEIR SOURCES") != std::string::npos);
        CHECK(table.out.find("RECOMMENDED") != std::string::npos);
        CHECK(widest_line(table.out) <= 80);
        CHECK(tymbal("choose " + example("plain-square")).status == 2);  // nothing is free
    }

    TEST_CASE("bad sweeps are refused with status 2 and leave no file") {
        const std::string design = write("plain.toml", plain).string(), file = (scratch() / "no.csv").string();
        for (const char* bad :
             {"", "--vary holes.diamter=1um,2um", "--vary film.stress=1,2", "--vary film.stress=1GPa,2GPa --shard 3/2",
              "--vary film.stress=1GPa,2GPa --vary film.stress=1GPa,2GPa", "--vary film.stress=1GPa..2GPa:0",
              "--vary film.material=nitride-stoichiometric,nitride-silicon-rich --plot -"}) {
            CAPTURE(bad);
            const Run run = tymbal("sweep " + design + " --quiet --csv " + file + " " + bad);
            CHECK(run.status == 2);
            CHECK_FALSE(run.err.empty());
            CHECK_FALSE(std::ifstream(file).good());
        }
        CHECK(tymbal("sweep " + design + " --resume --vary film.stress=1GPa,2GPa").status == 2);
        const auto refused = [](const std::string& arguments, const std::string& words) {
            const Run run = tymbal("sweep " + arguments);
            CAPTURE(run.err);
            CHECK(run.status == 2);
            CHECK(run.err.find(words) != std::string::npos);
        };
        refused("--vary film.stress=1GPa,2GPa", "DESIGN: is missing; name a design file");
        const std::string some =
            design + " --vary film.stress=1GPa,2GPa --modes 1 --accuracy 0.1 --quiet --csv " + file;
        refused(some + " --plot " + file, "--plot: has the same target as another result; name another");
        REQUIRE(tymbal("sweep " + some).status == 0);
        refused("--join " + file + " --csv - --mode 9,9", "--mode: is '9,9', which no design of the sweep has");
        refused("--join " + file + " --json " + file, file + ": is one of the parts; name another file to write");
        fs::remove(file);
    }
}

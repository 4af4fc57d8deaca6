// size and sweep as a user runs them: streams, files, exit status, a sweep that is killed.
#include "support/places.h"
#include "support/program.h"

#include <doctest/doctest.h>
#include <nlohmann/json.hpp>

#include <algorithm>
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
    TEST_CASE("a sweep without one answer ended with status 0, and lost the undercut that was there") {
        const std::string drum =
            "[film]\nmaterial = \"nitride-stoichiometric\"\nthickness = \"100 nm\"\nstress = \"1 GPa\"\n[outline]\n"
            "shape = \"rectangle\"\nwidth = \"60 um\"\nheight = \"60 um\"\n[holes]\nlattice = \"square\"\n"
            "diameter = \"2 um\"\npitch = \"8 um\"\n[solve]\nmodes = 1\naccuracy = 0.1\n";
        const std::string undercut = "[release]\ngap = \"2 um\"\nundercut = \"5 um\"\n";
        const std::string design = write("drum.toml", drum).string();
        const std::string csv = (scratch() / "none.csv").string();
        const Run none = tymbal("sweep " + design + " --vary film.stress=-2GPa,-1GPa --csv " + csv);
        CHECK(none.status == 1);
        CHECK(none.err.find("none of 2 designs has an answer; the first: ") != std::string::npos);
        CHECK(none.out.find("release time") == std::string::npos);
        CHECK(slurp(csv).find("\n1,-1e+09,") != std::string::npos);  // the rows with their reasons are there
        CHECK(tymbal("sweep --join " + csv + " --json -").status == 1);
        CHECK(tymbal("sweep " + design + " --vary film.stress=-1GPa,1GPa --quiet").status == 0);
        const std::string vary = " --vary film.stress=0.9GPa,1GPa";
        CHECK(tymbal("sweep " + design + vary).out.find("release time: not known without release.undercut") !=
              std::string::npos);
        const std::string wet = write("wet.toml", drum + undercut).string();
        CHECK(tymbal("sweep " + wet + vary).out.find("release time: not known without an etch rate") !=
              std::string::npos);
        const std::string rated = write("rated.toml", drum + undercut + "rate = \"100 nm/min\"\n").string();
        CHECK(tymbal("sweep " + rated + vary).out.find("release time") == std::string::npos);
    }

    TEST_CASE("one part of a sweep ended with status 1 for rows whose siblings may have answers") {
        const std::string design = write("parts.toml", plain).string();
        const std::string vary = " --vary film.stress=-1GPa,1GPa --quiet --csv ";
        const std::string first = (scratch() / "first.csv").string(), second = (scratch() / "second.csv").string();
        CHECK(tymbal("sweep " + design + vary + first + " --shard 1/2").status == 0);
        CHECK(tymbal("sweep " + design + vary + second + " --shard 2/2").status == 0);
        CHECK(slurp(first).find("not stable") != std::string::npos);
        CHECK(tymbal("sweep --quiet --join " + first + " " + second).status == 0);
        CHECK(tymbal("sweep " + design + " --vary film.stress=-1GPa --quiet").status == 1);
    }

    TEST_CASE("JSON of a plan tells deviations that were taken from those that were stated") {
        const std::string exact = write("exact.toml",
                                        "[film]\nmaterial = \"nitride-stoichiometric\"\nthickness = \"50 nm\"\n"
                                        "stress = \"1 GPa\"\nyoungs_modulus = \"250 GPa\"\npoisson_ratio = 0.25\n"
                                        "density = \"3100 kg/m^3\"\n[outline]\nshape = \"rectangle\"\n"
                                        "width = \"500 um\"\nheight = \"500 um\"\n[solve]\nmodes = 1\n")
                                      .string();
        const std::string stated = write("stated.toml", plain).string();  // the row's density has a deviation
        CHECK(json::parse(tymbal("plan " + exact + " --json -").out).at("deviations_assumed") == true);
        CHECK(json::parse(tymbal("plan " + stated + " --json -").out).at("deviations_assumed") == false);
    }

    TEST_CASE("the cavity's finesse was read, and no figure depended on it") {
        const std::string drum = plain + "[readout]\nwavelength = \"1064 nm\"\nspot_radius = \"20 um\"\n";
        const auto kappa_with = [&](const std::string& finesse) {
            const fs::path file =
                write("finesse.toml", drum + "[cavity]\nlength = \"1 cm\"\nfinesse = " + finesse + "\n");
            return json::parse(tymbal("cavity " + file.string() + " --json -").out).at("kappa_mean_hz").get<double>();
        };
        const double wide = kappa_with("1000"), narrow = kappa_with("10000");
        CHECK(std::abs(wide / 14.9896e6 - 1.0) < 2e-3);  // c/(2 L F), lossless film
        CHECK(std::abs(wide / narrow - 10.0) < 2e-2);
    }

    TEST_CASE("a pattern that the writer cannot print was written with status 0") {
        const std::string fine =
            write("fine.toml",
                  "[film]\nmaterial = \"nitride-stoichiometric\"\nthickness = \"100 nm\"\n[outline]\n"
                  "shape = \"rectangle\"\nwidth = \"60 um\"\nheight = \"60 um\"\n[holes]\nlattice = "
                  "\"square\"\ndiameter = \"0.5 um\"\npitch = \"2 um\"\n[process]\nleast_feature = "
                  "\"0.8 um\"\n")
                .string();
        const std::string gds = (scratch() / "fine.gds").string();
        fs::remove(gds);
        const Run refused = tymbal("pattern " + fine + " --out " + gds);
        CHECK(refused.status == 1);
        CHECK_FALSE(fs::exists(gds));
        CHECK(refused.out.find("NOT PRINTABLE") != std::string::npos);
        CHECK(refused.err.find("can be printed; --allow-broken draws it all the same") != std::string::npos);
        CHECK(tymbal("pattern " + fine + " --out " + gds + " --allow-broken").status == 0);
        CHECK(fs::exists(gds));
    }

    TEST_CASE("size writes the lines of a scaled hole pattern into the design") {
        const std::string design =
            write(
                "field.toml",
                "# kept\r\n[film]\r\nmaterial = 'nitride-stoichiometric'\r\nthickness = '100 +- 2 nm'\r\n[outline]\r\n"
                "shape = 'hole-field'\r\n[holes]\r\nlattice = 'square'\r\ndiameter = '2.00 +- 0.05 um'\r\n"
                "pitch = '5 um'\r\nfield = ['32 um', '32 um']  # asked\r\n[release]\r\ngap = '2 um'\r\n"
                "undercut = '2.8 um'\r\n[solve]\r\nmodes = 1\r\naccuracy = 0.01\r\n")
                .string();
        const Run run = tymbal("size " + design + " --target-frequency '10 MHz' --scale-holes --write-design -");
        REQUIRE(run.status == 0);
        CHECK(run.out.find("# all lengths") == std::string::npos);
        CHECK(run.out.find(" +- 0.05 um'\r\n") != std::string::npos);
        CHECK(run.out.find("']  # asked\r\n") != std::string::npos);
        CHECK(std::count(run.out.begin(), run.out.end(), '\r') == std::count(run.out.begin(), run.out.end(), '\n'));
        const std::string scaled = write("scaled.toml", run.out).string();
        const json predicted = json::parse(tymbal("predict " + scaled + " --json -").out);
        CHECK(predicted["modes"][0]["frequency_hz"].get<double>() == Approx(10e6).epsilon(1e-4));
    }

    TEST_CASE("size prints lines that predict to the target, and JSON alone on standard output") {
        const std::string design = write("plain.toml", plain).string();
        const Run run = tymbal("size " + design + " --target-frequency '1.2 MHz' --mode 1,1 --json -");
        REQUIRE(run.status == 0);
        CHECK(run.err.empty());
        const json root = json::parse(run.out);
        CHECK(root["landed"] == true);
        CHECK(root["frequency_hz"].get<double>() == Approx(1.2e6).epsilon(1e-4));
        CHECK(root["changes"]["outline.width"].get<double>() == Approx(root["changes"]["outline.height"]));
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
        CHECK(table.out.find("release time") == std::string::npos);  // nothing to release without holes
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
        CHECK(root["reason"].get<std::string>().find("has a chance of 90 %") != std::string::npos);
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

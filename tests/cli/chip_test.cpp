// Chip files at the command line: who takes them, what their devices answer, and what is said where one is wrong.
#include "support/places.h"
#include "support/program.h"

#include <doctest/doctest.h>
#include <nlohmann/json.hpp>

#include <algorithm>
#include <set>
#include <string>
#include <tuple>
#include <vector>

using namespace program_run;
using nlohmann::json;

namespace {

const std::string silicon = "width = \"10 mm\"\nlength = \"8 mm\"\nthickness = \"525 um\"\n";
const std::string shared =
    "[film]\nmaterial = \"nitride-stoichiometric\"\nthickness = \"100 nm\"\nstress = \"1.00 +- 0.03 GPa\"\n"
    "[release]\nsacrificial = \"oxide-thermal\"\ngap = \"2 um\"\netchant = \"buffered-hf-5to1\"\nundercut = \"2.2 "
    "um\"\n"
    "[process]\nlithography_bias = \"0 um\"\n[solve]\nmodes = 2\naccuracy = 1e-2\nmodel = \"averaged\"\n";

std::string field(const std::string& diameter, const std::string& limit) {
    return "title = \"<b>field</b> & co\"\n[outline]\nshape = \"hole-field\"\n[holes]\nlattice = \"triangular\"\n"
           "diameter = \"" +
           diameter + "\"\npitch = \"5 um\"\nfield = [\"40 um\", \"40 um\"]\n[limits]\nlargest_release_time = \"" +
           limit + "\"\n";
}

std::string device(const std::string& name, const std::string& design, const std::string& at,
                   const std::string& more = "") {
    return "[[device]]\nname = \"" + name + "\"\ndesign = \"" + design + "\"\nposition = [" + at + "]\n" + more;
}

/// A holds few minutes and clears early, B clears late and holds an hour.
const std::string wide = field("2 um", "24 min"), narrow = field("1.6 um", "1 h");
const std::string at_a = "\"1 mm\", \"0 mm\"", at_b = "\"-1 mm\", \"2 mm\"";

std::string chip_of(const std::string& devices) {
    write("wide.toml", wide);
    write("narrow.toml", narrow);
    return write("chip.toml", "title = \"<script>x</script>\"\n[chip]\n" + silicon + shared + devices).string();
}

std::string both() {
    return chip_of(device("A", "wide.toml", at_a) + device("B", "narrow.toml", at_b));
}

/// The same device as a design of its own.
std::string alone(const std::string& design, const std::string& at) {
    return write("alone.toml", design + "[chip]\n" + silicon + "position = [" + at + "]\n" + shared).string();
}

json answer(const std::string& command) {
    const Run run = tymbal(command + " --json -");
    REQUIRE_MESSAGE(run.status == 0, run.err);
    return json::parse(run.out);
}

/// Of a device by its name.
json part(const json& chip, const std::string& name) {
    const auto& all = chip["devices"];
    const auto found = std::find_if(all.begin(), all.end(), [&](const json& d) { return d["name"] == name; });
    REQUIRE(found != all.end());
    return *found;
}

std::vector<std::string> ids(const std::string& page) {
    std::vector<std::string> all;
    for (std::size_t at = page.find(" id=\""); at != std::string::npos; at = page.find(" id=\"", at + 1))
        all.push_back(page.substr(at + 5, page.find('"', at + 5) - at - 5));
    return all;
}

}  // namespace

TEST_SUITE("cli") {
    TEST_CASE("commands for one design list a chip's devices until one is named, and designs have none") {
        const std::string chip = places::source_dir() + "/examples/whole-chip/chip.toml";
        const std::string design = places::source_dir() + "/examples/pattern.toml";
        for (const std::string command : {"size", "light", "cavity", "choose"}) {
            const auto run = tymbal(command + " " + chip);
            CHECK(run.status == 2);
            CHECK(run.err.find("name one of P1, S1, S2, S3, S4, S5, H1, H2, H3") != std::string::npos);
            CHECK(tymbal(command + " " + chip + " --device S9").err.find("'S9' is no device") != std::string::npos);
            CHECK(tymbal(command + " " + design + " --device S1").err.find("is for chip files") != std::string::npos);
        }
        CHECK(tymbal("predict " + chip + " --plot -").err.find("is for one design") != std::string::npos);
        CHECK(tymbal("predict " + design + " --neighbours '1 kHz'").err.find("is for chip files") != std::string::npos);
    }

    TEST_CASE("a device of a chip answers predict, release, plan and sweep as it does alone") {
        const std::string chip = both();
        const json predicted = answer("predict " + chip), planned = answer("plan " + chip);
        const json released = answer("release " + chip);
        const std::string vary = " --vary holes.field=30um,40um --quiet --csv -";
        const std::string swept = tymbal("sweep " + chip + " --device B" + vary).out;
        for (const auto& [name, design, at] : {std::tuple("A", wide, at_a), std::tuple("B", narrow, at_b)}) {
            const std::string file = alone(design, at);
            const json one = answer("predict " + file);
            CHECK(one["modes"].size() == 2);
            CHECK(part(predicted, name)["modes"] == one["modes"]);
            CHECK(part(predicted, name)["film"] == one["film"]);
            CHECK(part(planned, name)["modes"] == answer("plan " + file)["modes"]);
            const json bath = answer("release " + file);
            CHECK(part(released, name)["etch"] == bath["etch"]);
            CHECK(part(released, name)["drying"] == bath["drying"]);
        }
        const auto rows = [](const std::string& table) { return table.substr(table.find("\nindex,")); };
        REQUIRE(swept.find("\n1,") != std::string::npos);
        CHECK(rows(swept) == rows(tymbal("sweep " + alone(narrow, at_b) + vary).out));
        CHECK(part(predicted, "A")["modes"] != part(predicted, "B")["modes"]);
    }

    TEST_CASE("the common window opens with the last device's clearing and closes with the first limit") {
        const json chip = answer("release " + both());
        double opens = 0.0, closes = 1e300;
        for (const std::string& design : {wide, narrow}) {
            const json etch = answer("release " + alone(design, at_a))["etch"];
            opens = std::max(opens, etch["window_opens_s"].get<double>());
            for (const json& end : etch["window_closes"]) closes = std::min(closes, end["time_s"].get<double>());
        }
        CHECK(chip["window_opens_s"] == opens);
        CHECK(chip["opened_by"] == json{"B"});
        CHECK(chip["window_closes_s"] == closes);
        CHECK(closes == Approx(24 * 60.0));
        CHECK(chip["closed_by"] == json{"A"});
        CHECK(chip["window_open"] == (opens < closes));
    }

    TEST_CASE("a chip without a common window has the answer 'none', the devices to move, and status 1") {
        write("short.toml", field("2 um", "19 min"));
        const std::string chip = chip_of(device("A", "short.toml", at_a) + device("B", "narrow.toml", at_b));
        const Run run = tymbal("release " + chip);
        CHECK(run.status == 1);
        CHECK(run.err.find("no common window in the bath") != std::string::npos);
        CHECK(run.out.find("common window           none") != std::string::npos);
    }

    TEST_CASE("bad chips are refused by all commands with chip file, line and device, and leave no file") {
        const std::string file = (scratch() / "chip.toml").string(), out = (scratch() / "none").string();
        const std::string one = device("A", "wide.toml", at_a);
        write("other.toml", "[film]\nthickness = \"90 nm\"\n" + wide);
        struct Bad {
            std::string devices, says;
        };
        const std::vector<Bad> all{{one + device("B", "narrow.toml", at_a), "puts device B where A stands"},
                                   {one + device("A", "narrow.toml", at_b), "twice"},
                                   {one + device("B", "../narrow.toml", at_b), ": device.design: "},
                                   {one + device("B", "other.toml", at_b), "film.thickness"},
                                   {one + device("B", "narrow.toml", "\"4.99 mm\", \"0 mm\""), "outside the chip"}};
        for (const Bad& bad : all) {
            chip_of(bad.devices);
            for (const std::string command : {"predict --csv", "release --run-sheet", "plan --json", "report --out"}) {
                const std::size_t blank = command.find(' ');
                const Run run = tymbal(command.substr(0, blank) + " " + file + command.substr(blank) + " " + out);
                CAPTURE(run.err);
                CHECK(run.status == 2);
                CHECK(run.err.rfind(file + ":", 0) == 0);
                CHECK(run.err.find(bad.says) != std::string::npos);
                CHECK_FALSE(fs::exists(out));
            }
        }
    }

    TEST_CASE("a chip's report has map, cards, window and inputs, asks nothing of anyone and writes out all markup") {
        const std::string chip = both(), file = (scratch() / "chip.html").string();
        REQUIRE(tymbal("report " + chip + " --out " + file).status == 0);
        const std::string page = slurp(file);
        for (const char* id : {"map", "devices", "cards", "neighbours", "release", "warnings", "inputs"})
            CHECK_MESSAGE(page.find(std::string("<section id=\"") + id + "\">") != std::string::npos, id);
        for (const char* place : {"id=\"device-A\"", "id=\"device-B\"", "<a href=\"#device-B\"><g>",
                                  "lowest mode (MHz)", "calcium gluconate", "&lt;script&gt;x&lt;/script&gt;",
                                  "A: &lt;b&gt;field&lt;/b&gt; &amp; co", "largest_release_time of A"})
            CHECK_MESSAGE(page.find(place) != std::string::npos, place);
        for (const char* request : {"src=", "href=\"http", "url(http", "@import", "fetch(", "<script", "<b>field"})
            CHECK_MESSAGE(page.find(request) == std::string::npos, request);
        const std::vector<std::string> names = ids(page);
        CHECK(std::set<std::string>(names.begin(), names.end()).size() == names.size());
        CHECK(tymbal("report " + chip + " --quiet --out -").out == page);
        const std::string csv = places::source_dir() + "/examples/measured-peaks.csv";
        CHECK(tymbal("report " + chip + " --out - --measured " + csv).err.find("is for one design") !=
              std::string::npos);
    }

    TEST_CASE("a chip's report shows what the record knows, and neither makes nor changes one") {
        const std::string chip = both(), db = (scratch() / "report.db").string();
        const std::string command = "report " + chip + " --out - --quiet --record " + db;
        CHECK(tymbal(command).status == 2);
        CHECK_FALSE(fs::exists(db));
        REQUIRE(tymbal("record new " + example("hole-field") + " --quiet --record " + db).status == 0);
        const Run stranger = tymbal(command);
        CHECK(stranger.status == 2);
        CHECK(stranger.err.find("holds no chip drawn from " + chip) != std::string::npos);
        REQUIRE(tymbal("record new " + chip + " --name 'Skerry 9' --quiet --record " + db).status == 0);
        const std::string step = write("seen.toml",
                                       "step = \"released\"\nchip = \"Skerry 9\"\ndevice = \"B\"\n[values]\nundercut = "
                                       "\"2.31 +- 0.05 um\"\n")
                                     .string();
        REQUIRE(tymbal("record add " + step + " --quiet --record " + db).status == 0);
        const std::string before = slurp(db);
        const Run run = tymbal(command);
        CHECK(run.status == 0);
        CHECK(run.out.find("<section id=\"record\">") != std::string::npos);
        CHECK(run.out.find("2.310 \u00b1 0.050") != std::string::npos);
        CHECK(slurp(db) == before);
        CHECK(tymbal("report " + example("disc") + " --out - --record " + db).err.find("is for chip files") !=
              std::string::npos);
    }
}

// The record of chips as a user keeps it.
#include "support/places.h"
#include "support/program.h"

#include <doctest/doctest.h>
#include <nlohmann/json.hpp>

#include <string>
#include <vector>

using namespace program_run;
using nlohmann::json;

namespace {

bool has(const std::string& text, const std::string& part) {
    return text.find(part) != std::string::npos;
}

std::string fresh(const std::string& name) {
    const fs::path path = scratch() / name;
    for (const char* ending : {"", "-wal", "-shm"}) fs::remove(path.string() + ending);
    return path.string();
}

Run record(const std::string& words, const std::string& file) {
    const bool dated = has(words.substr(0, 4), "new ") || has(words.substr(0, 4), "add ");
    return tymbal("record " + words + " --record " + file + (dated ? " --date 2026-03-14" : ""));
}

std::string step(const std::string& text) {
    return write("step.toml", text).string();
}

/// Three chips of one drawing with all their steps.
std::string harbour(const std::string& name) {
    const std::string file = fresh(name), folder = places::source_dir() + "/examples/record/";
    for (const char* number : {"12", "13", "14"})
        REQUIRE(record("new " + example("hole-field") + " --wafer W7 --name 'Skerry " + number + "'", file).status ==
                0);
    for (const char* what : {"printed", "etched", "released", "fitted"})
        for (const char* number : {"12", "13", "14"})
            REQUIRE(record("add " + folder + what + "-" + number + ".toml", file).status == 0);
    return file;
}

}  // namespace

TEST_SUITE("cli") {
    TEST_CASE("a design becomes a chip of one device named after its file, with its bytes kept") {
        const std::string file = fresh("one.db");
        const Run run = record("new " + example("hole-field"), file);
        CHECK(run.status == 0);
        const json shown = json::parse(record("show hole-field --json -", file).out);
        CHECK(shown["chip"]["name"] == "hole-field");
        CHECK(shown["chip"]["devices"][0]["name"] == "hole-field");
        CHECK(shown["chip"]["entries"][0]["files"][0]["size_bytes"] == fs::file_size(example("hole-field")));
        CHECK(shown["chip"]["entries"][0]["date"] == "2026-03-14");
        CHECK(record("new " + example("hole-field"), file).status == 2);
        const std::string folder = fresh("exported-one");
        CHECK(record("export " + folder, file).status == 0);
        CHECK(slurp(folder + "/files/" + shown["chip"]["sha256"].get<std::string>()) == slurp(example("hole-field")));
    }

    TEST_CASE("show, list and check make no file, and say what would") {
        const std::string file = fresh("none.db");
        for (const char* action : {"show", "list", "check", "learn"}) {
            const Run run = record(action, file);
            CHECK(run.status == 2);
            CHECK(has(run.err, "tymbal record new"));
            CHECK_FALSE(fs::exists(file));
        }
    }

    TEST_CASE("what three chips teach is written into the next design, and the design still predicts") {
        const std::string file = harbour("three.db");
        const json learned = json::parse(record("learn --json -", file).out);
        CHECK(learned["lines"].size() == 4);
        CHECK(learned["next"].size() > 3);
        const fs::path next = write("next.toml", slurp(example("hole-field")));
        CHECK(record("learn --quiet --write " + next.string(), file).status == 0);
        const std::string text = slurp(next);
        CHECK(has(text, "# per edge: holes print larger than drawn"));
        CHECK(has(text, "rate = \""));
        CHECK_FALSE(has(text, "1.00 +- 0.03 GPa"));
        CHECK(tymbal("predict " + next.string() + " --modes 2 --accuracy 1e-2").status == 0);
        const Run alone = record("learn --write -", file);
        CHECK(has(alone.out, "[process]"));
        CHECK(record("learn --wafer W9", file).status == 1);
    }

    TEST_CASE("a correction takes the place of what it names, and both stay listed") {
        const std::string file = harbour("corrected.db");
        const std::string text =
            "step = \"correction\"\nchip = \"Skerry 12\"\ncorrects = 7\n[values]\nhole_width = \"9 um\"\n";
        CHECK(record("add " + step(text), file).status == 0);
        CHECK(has(record("show 'Skerry 12'", file).out, "9"));
        const Run list = record("list 'Skerry 12'", file);
        CHECK(has(list.out, "corrects 7"));
        CHECK(has(list.out, "hole_width 2.020"));
    }

    TEST_CASE("a step that is wrong says where and what is accepted, and adds nothing") {
        const std::string file = harbour("wrong.db");
        struct Wrong {
            const char *text, *said;
        };
        for (const Wrong w : {
                 Wrong{"chip = \"Skerry 12\"\n", "step: is missing"},
                 Wrong{"step = \"printd\"\nchip = \"Skerry 12\"\n", "did you mean 'printed'"},
                 Wrong{"step = \"printed\"\n", "chip: is missing"},
                 Wrong{"step = \"printed\"\nchip = \"Skery 12\"\nnote = \"x\"\n", "did you mean 'Skerry 12'"},
                 Wrong{"step = \"printed\"\nchip = \"Skerry 12\"\n[values]\nhole_width = \"2\"\n",
                       ":4: values.hole_width"},
                 Wrong{"step = \"printed\"\nchip = \"Skerry 12\"\n[values]\nhole_widht = \"2 um\"\n",
                       "did you mean 'hole_width'"},
                 Wrong{
                     "step = \"fitted\"\nchip = \"Skerry 12\"\n[values]\nfilm.material = \"nitride-stoichiometrc\"\n",
                     ":4: values.film.material: is 'nitride-stoichiometrc', no row of the material table (did you mean "
                     "'nitride-stoichiometric'?)"},
                 Wrong{"step = \"etched\"\nchip = \"Skerry 12\"\n[values]\n\"release.etchant\" = \"water\"\n",
                       ":4: values.release.etchant: is 'water', no row of the material table"},
                 Wrong{"step = \"printed\"\nchip = \"Skerry 12\"\n", "the entry says nothing"},
                 Wrong{"step = \"note\"\nchip = \"Skerry 12\"\nnote = \"x\"\ndate = \"yesterday\"\n",
                       "date: is 'yesterday'"},
                 Wrong{"step = \"note\"\nchip = \"Skerry 12\"\nfiles = [\"gone.png\"]\n", "'gone.png' cannot be read"},
                 Wrong{"step = \"correction\"\nchip = \"Skerry 12\"\nnote = \"x\"\n", "corrects: is missing"},
                 Wrong{"step = \"note\"\nchip = \"Skerry 12\"\nnote = \"x\"\ncorrects = 7\n", "belongs to step"},
                 Wrong{"step = \"inspected\"\nchip = \"Skerry 12\"\n[values]\ninspection = \"fine\"\n",
                       "cracked corner"},
                 Wrong{"step = \"note\"\nchip = \"Skerry 12\"\ndevice = \"B7\"\nnote = \"x\"\n",
                       ":3: device: chip 'Skerry 12' has none named 'B7'; it has hole-field"},
                 Wrong{"step = \"correction\"\nchip = \"Skerry 12\"\ncorrects = 99\nnote = \"x\"\n",
                       ":3: corrects: there is no entry 99"},
                 Wrong{"step = \"correction\"\nchip = \"Skerry 12\"\ncorrects = 7\n[values]\nundercut = \"none\"\n",
                       "holds no undercut"},
                 Wrong{"step = \"printed\"\nchip = \"Skerry 12\"\n[values]\n\"holes.diameter\" = \"2 um\"\n"
                       "holes.diameter = \"2 um\"\n",
                       "is given twice"},
                 Wrong{"step = \"note\"\nchip = \"Skerry 12\"\nnote = \"x\"\nby = \" \"\n", "more than blanks"},
             }) {
            const Run run = record("add " + step(w.text), file);
            CAPTURE(w.text);
            CAPTURE(run.err);
            CHECK(run.status == 2);
            CHECK(has(run.err, w.said));
            CHECK(has(run.err, "step.toml:"));
        }
        const json list = json::parse(record("list --json -", file).out);
        std::size_t entries = 0;
        for (const json& chip : list["chips"]) entries += chip["entries"].size();
        CHECK(entries == 18);
    }

    TEST_CASE("values out of range are refused with the range") {
        const std::string file = harbour("range.db");
        for (const char* line : {"hole_width = \"-2 um\"", "hole_width = \"0 um\"", "hole_width = \"1e300 m\"",
                                 "q = -5", "temperature = \"-5 K\"", "pressure = \"-1 mbar\"", "time = \"-5 min\"",
                                 "undercut = \"-2.2 um\"", "film.thickness = \"-100 nm\"", "film.poisson_ratio = 7",
                                 "holes.pitch = \"-5 um\"", "outline.shape = \"trapezoid\""}) {
            CAPTURE(line);
            const Run run = record(
                "add " + step(std::string("step = \"measured\"\nchip = \"Skerry 12\"\n[values]\n") + line), file);
            CHECK(run.status == 2);
            CHECK(has(run.err, ":4: values."));
            CHECK(has(run.err, "accepted: "));
        }
        const std::string row =
            "step = \"fitted\"\nchip = \"Skerry 12\"\n[values]\nfilm.material = \"nitride-stoichiometric\"\n";
        CHECK(record("add " + step(row), file).status == 0);
        const std::string sound = "step = \"etched\"\nchip = \"Skerry 12\"\n[values]\nprocess.etch_bias = \"-20 nm\"\n";
        CHECK(record("add " + step(sound), file).status == 0);
    }

    TEST_CASE("what an action does not take is refused") {
        const std::string file = harbour("taken.db"), folder = fresh("not-exported");
        for (const std::string& words : std::vector<std::string>{
                 "check " + file, std::string("learn 'Skerry 12'"), "add x.toml --wafer W9", "add x.toml --name zz",
                 "add x.toml --bath b", "add x.toml --write w.toml", "add x.toml --json a.json",
                 "export " + folder + " --json a.json", std::string("show --date 2026-03-14")}) {
            CAPTURE(words);
            const Run run = record(words, file);
            CHECK(run.status == 2);
            CHECK(has(run.err, "means nothing to `record"));
        }
        CHECK_FALSE(fs::exists(folder));
    }

    TEST_CASE("a name that no table could show is refused, and what strangers wrote into one moves no terminal") {
        const std::string file = fresh("names.db");
        for (const std::string& name :
             {std::string(300, 'n'), std::string("'a\nb'"), std::string("' '"), std::string("'\xff'")})
            CHECK(record("new " + example("hole-field") + " --name " + name, file).status == 2);
        CHECK_FALSE(fs::exists(file));
        REQUIRE(record("new " + example("hole-field"), file).status == 0);
        REQUIRE(record("add " + step("step = \"note\"\nchip = \"hole-field\"\nnote = \"red \\u001b[31m\"\n"), file)
                    .status == 0);
        for (const char* words : {"show", "list hole-field"}) {
            const std::string out = record(words, file).out;
            CHECK(has(out, "[31m"));
            CHECK_FALSE(has(out, "\033"));
        }
    }

    TEST_CASE("of a chip of one device, CHIP shows what was said of that device") {
        const std::string file = harbour("one-device.db"), out = record("show 'Skerry 12'", file).out;
        for (const char* line : {"film, as fitted", "time in the bath", "north quay, March"}) CHECK(has(out, line));
    }

    TEST_CASE("the frequency of another mode is not shown as the lowest one's") {
        const std::string file = harbour("modes.db");
        const auto measured = [&](const char* mode, const char* frequency) {
            const std::string text = std::string("step = \"measured\"\nchip = \"Skerry 12\"\n[values]\n") + mode +
                                     "frequency = \"" + frequency + "\"\n";
            REQUIRE(record("add " + step(text), file).status == 0);
            const std::string page = record("show 'Skerry 12'", file).out;
            return page.substr(0, page.find("LATEST"));
        };
        CHECK(has(measured("", "2.9870 MHz"), "2.987"));
        CHECK_FALSE(has(measured("mode = \"(2,2)\"\n", "5.4321 MHz"), "5.432"));
    }

    TEST_CASE("files that a step names are found again by check, wherever the step file lay") {
        const std::string file = harbour("attached.db");
        fs::create_directories(scratch() / "steps");
        const fs::path scan = write("steps/scan.csv", "1,2\n");
        const fs::path named =
            write("steps/step.toml", "step = \"note\"\nchip = \"Skerry 12\"\nfiles = [\"scan.csv\"]\n");
        REQUIRE(record("add " + named.string(), file).status == 0);
        CHECK_FALSE(has(record("check", file).out, "scan.csv"));
        write("steps/scan.csv", "1,3\n");
        CHECK(has(record("check", file).out, "steps/scan.csv has changed"));
    }

    TEST_CASE("a design of the same name is not taken for the chip, and that is said before anything is computed") {
        const std::string file = fresh("namesake.db");
        fs::create_directories(scratch() / "x");
        fs::create_directories(scratch() / "y");
        const std::string text = slurp(example("plain-square"));
        const fs::path drum = write("x/drum.toml", text), other = write("y/drum.toml", text + "# another\n");
        REQUIRE(record("new " + drum.string(), file).status == 0);
        const fs::path json_file = scratch() / "namesake.json";
        fs::remove(json_file);
        const std::string predict = "predict " + other.string() + " --quiet --json " + json_file.string();
        for (const std::string& words :
             {predict + " --record " + file, predict + " --record-chip nobody --record " + file,
              predict + " --record " + (scratch() / "absent" / "record.db").string()}) {
            CAPTURE(words);
            CHECK(tymbal(words).status == 2);
            CHECK_FALSE(fs::exists(json_file));
        }
        write("x/drum.toml", text + "# edited\n");
        CHECK(tymbal("predict " + drum.string() + " --quiet --accuracy 1e-2 --record " + file).status == 0);
        CHECK(tymbal("predict " + other.string() + " --quiet --accuracy 1e-2 --record-chip drum --record " + file)
                  .status == 0);
    }

    TEST_CASE("dotted and quoted design keys are the same") {
        const std::string file = harbour("keys.db");
        for (const char* key : {"film.stress", "\"film.stress\""}) {
            const std::string text =
                std::string("step = \"measured\"\nchip = \"Skerry 12\"\n[values]\n") + key + " = \"1.1 +- 0.1 GPa\"\n";
            CHECK(record("add " + step(text), file).status == 0);
            CHECK(has(record("list 'Skerry 12'", file).out, "film.stress"));
        }
    }

    TEST_CASE("check is quiet on a sound record and ends with 1 on a damaged one") {
        const std::string file = harbour("checked.db");
        const Run sound = record("check", file);
        CHECK(sound.status == 0);
        CHECK_FALSE(has(sound.out, "FAULTS"));
        std::fstream(file, std::ios::in | std::ios::out | std::ios::binary).seekp(8192) << std::string(4096, 'x');
        const Run broken = record("check", file);
        CHECK(broken.status != 0);
        CHECK(has(broken.out + broken.err, "damaged"));
    }

    TEST_CASE("commands add what they did to the chip that was drawn from their design") {
        const std::string file = fresh("commands.db"), design = example("hole-field");
        CHECK(tymbal("release " + design + " --quiet --record " + file).status == 0);
        CHECK(tymbal("pattern " + design + " --quiet --out " + (scratch() / "r.gds").string() + " --record " + file)
                  .status == 0);
        CHECK(tymbal("predict " + design + " --quiet --modes 2 --accuracy 1e-2 --record " + file).status == 0);
        const json shown = json::parse(record("show --json -", file).out);
        std::string steps;
        for (const json& e : shown["chip"]["entries"]) steps += e["step"].get<std::string>() + " ";
        CHECK(steps == "drawn drawn planned patterned predicted ");
        REQUIRE(record("new " + design + " --name other", file).status == 0);
        const Run two = tymbal("release " + design + " --quiet --record " + file);
        CHECK(two.status == 2);
        CHECK(has(two.err, "several chips"));
        CHECK(tymbal("release " + design + " --quiet --record-chip other --record " + file).status == 0);
    }

    TEST_CASE("compare leaves its fit, with the measured file whole") {
        const std::string file = fresh("compare.db");
        const std::string csv = places::source_dir() + "/examples/measured-peaks.csv";
        CHECK(tymbal("compare " + example("plain-square") + " " + csv + " --quiet --record " + file).status == 0);
        const json shown = json::parse(record("show --json -", file).out);
        const json& last = shown["chip"]["entries"].back();
        CHECK(last["step"] == "fitted");
        CHECK(last["files"].size() == 2);
        CHECK(has(record("learn", file).out, "film.stress"));
    }

    TEST_CASE("designs that are fitted together are added together, those with --also in no addition of their own") {
        const std::string file = fresh("also.db"), csv = places::source_dir() + "/examples/measured-peaks.csv";
        const std::string other = write("other-square.toml", slurp(example("plain-square"))).string();
        const Run run = tymbal("compare " + example("plain-square") + " " + csv + " --also " + other + " " + csv +
                               " --record " + file);
        CHECK(run.status == 0);
        CHECK(has(run.err, "added entries 1 to 4"));
        CHECK(run.err.find("added") == run.err.rfind("added"));
        int fits = 0;
        const json shown = json::parse(record("list --json -", file).out);
        for (const json& chip : shown["chips"])
            for (const json& e : chip["entries"]) fits += e["step"] == "fitted" ? 1 : 0;
        CHECK(fits == 2);
    }
}

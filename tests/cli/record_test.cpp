// The record of chips as a user keeps it.
#include "support/places.h"
#include "support/program.h"

#include <doctest/doctest.h>
#include <nlohmann/json.hpp>

#include <string>

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
    return tymbal("record " + words + " --record " + file + " --date 2026-03-14");
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
                 Wrong{"step = \"printed\"\nchip = \"Skerry 12\"\n", "the entry says nothing"},
                 Wrong{"step = \"note\"\nchip = \"Skerry 12\"\nnote = \"x\"\ndate = \"yesterday\"\n",
                       "date: is 'yesterday'"},
                 Wrong{"step = \"note\"\nchip = \"Skerry 12\"\nfiles = [\"gone.png\"]\n", "'gone.png' cannot be read"},
                 Wrong{"step = \"correction\"\nchip = \"Skerry 12\"\nnote = \"x\"\n", "corrects: is missing"},
                 Wrong{"step = \"note\"\nchip = \"Skerry 12\"\nnote = \"x\"\ncorrects = 7\n", "belongs to step"},
                 Wrong{"step = \"inspected\"\nchip = \"Skerry 12\"\n[values]\ninspection = \"fine\"\n",
                       "cracked corner"},
                 Wrong{"step = \"note\"\nchip = \"Skerry 12\"\ndevice = \"B7\"\nnote = \"x\"\n", "it has hole-field"},
             }) {
            const Run run = record("add " + step(w.text), file);
            CAPTURE(w.text);
            CAPTURE(run.err);
            CHECK(run.status == 2);
            CHECK(has(run.err, w.said));
        }
        const json list = json::parse(record("list --json -", file).out);
        std::size_t entries = 0;
        for (const json& chip : list["chips"]) entries += chip["entries"].size();
        CHECK(entries == 18);
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
}

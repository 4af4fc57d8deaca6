// Chip files at the command line: who takes them, and what is said where one design is wanted.
#include "support/places.h"
#include "support/program.h"

#include <doctest/doctest.h>

#include <string>

using namespace program_run;

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
}

// A solution with every hole on the grid, as its user meets it: what it will hold, what it may hold, and Ctrl-C.
#include "support/places.h"
#include "support/program.h"

#include <doctest/doctest.h>

#include <cstdlib>
#include <string>

#include <sys/resource.h>
#include <sys/wait.h>

using namespace program_run;

TEST_SUITE("cli") {
    TEST_CASE("predict and plan refuse to hold more than --memory-limit, and says how much it would be") {
        const fs::path json = scratch() / "limited.json";
        const Run run =
            tymbal("predict " + example("few-holes") + " --memory-limit 0.001 --quiet --json " + json.string());
        CHECK(run.status == 1);
        CHECK(run.err.find("--memory-limit") != std::string::npos);
        CHECK(run.err.find("GiB") != std::string::npos);
        CHECK_FALSE(fs::exists(json));
        const Run plan = tymbal("plan " + example("few-holes") + " --memory-limit 0.001 --quiet --json -");
        CHECK(plan.status == 1);
        CHECK(plan.out.empty());
        CHECK(plan.err.find("--memory-limit") != std::string::npos);
        // A number that is none passes a comparison with bounds.
        CHECK(tymbal("predict " + example("few-holes") + " --accuracy nan").status == 2);
        for (const char* const bad : {"-1", "0", "1e30", "nan", "inf", "much"})
            CHECK_MESSAGE(tymbal("predict " + example("few-holes") + " --memory-limit " + bad).status == 2, bad);
    }
}

TEST_SUITE("slow") {
    TEST_CASE("a large solution holds what it announced, within a fifth") {
        const Run run = tymbal("predict " + example("every-hole"));
        REQUIRE(run.status == 0);
        const std::string words = "the solution will hold some ";
        const std::size_t at = run.err.find(words);
        REQUIRE(at != std::string::npos);
        const double announced_gib = std::strtod(run.err.c_str() + at + words.size(), nullptr);
        rusage used{};  // of the largest child so far: no other run of this test case is near
        REQUIRE(::getrusage(RUSAGE_CHILDREN, &used) == 0);
        CHECK(static_cast<double>(used.ru_maxrss) / (1024.0 * 1024.0) == Approx(announced_gib).epsilon(0.2));
    }

    TEST_CASE("Ctrl-C ends a large solution within a step, as an interrupt, and leaves no file") {
        const fs::path json = scratch() / "interrupted.json";
        const std::string command = "timeout --preserve-status -s INT -k 20 2 " + places::program() + " predict " +
                                    example("lattice-defect") + " --quiet --json " + json.string() + " 2>/dev/null";
        const int raw = std::system(command.c_str());
        CHECK(WIFEXITED(raw));
        CHECK(WEXITSTATUS(raw) == 128 + 2);  // what a shell makes of an interrupt
        CHECK_FALSE(fs::exists(json));
    }
}

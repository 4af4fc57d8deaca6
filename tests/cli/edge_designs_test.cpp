// Designs at the edge of what can be solved: each ends in frequencies or in a clear statement, none in a number that is
// none.
#include "support/program.h"

#include <doctest/doctest.h>
#include <nlohmann/json.hpp>

#include <string>
#include <vector>

using namespace program_run;

namespace {

struct EdgeDesign {
    const char* name;
    std::string film;  ///< more keys of [film]
    std::string rest;
    int status;
    const char* words;  ///< in the warnings, or in the message
};

std::string rectangle(const char* width, const char* height) {
    return std::string("[outline]\nshape = \"rectangle\"\nwidth = \"") + width + "\"\nheight = \"" + height + "\"\n";
}

std::string holes(const char* diameter) {
    return std::string("[holes]\nlattice = \"square\"\npitch = \"5 um\"\ndiameter = \"") + diameter + "\"\n";
}

std::vector<EdgeDesign> edge_designs() {
    const std::string square = rectangle("100 um", "100 um"), small = rectangle("20 um", "20 um");
    return {
        {"sliver ligaments", "", square + holes("4.9 um"), 1, "ligament"},
        {"holes that touch", "", square + holes("5 um"), 2, "holes.pitch: lets neighbouring holes touch"},
        {"a strip of 900 to 1", "", rectangle("9 mm", "10 um"), 0, ""},
        {"a strip of 1100 to 1", "", rectangle("11 mm", "10 um"), 2, "factor 1000"},
        {"a ring narrower than a hundredth", "",
         "[outline]\nshape = \"ring\"\nouter_diameter = \"100 um\"\ninner_diameter = \"99 um\"\n", 2, "curved string"},
        {"a notch of no width", "",
         "[outline]\nshape = \"polygon\"\nvertices = [[\"0 um\", \"0 um\"], [\"100 um\", \"0 um\"], [\"100 um\", \"100 "
         "um\"], "
         "[\"50.001 um\", \"100 um\"], [\"50 um\", \"1 um\"], [\"49.999 um\", \"100 um\"], [\"0 um\", \"100 um\"]]\n",
         0, ""},
        {"no stress at all", "stress = \"0 Pa\"\n", square, 0, ""},
        {"a little compression", "stress = \"-1.5 MPa\"\n", small, 0,
         "buckles at -29."},  // 5.30 pi^2 D/(h L^2) = 29.1 MPa
        {"compression beyond buckling", "stress = \"-200 MPa\"\n", small, 1, "buckles at a stress of -29."},
        {"the same with holes", "stress = \"-200 MPa\"\n", square + holes("2 um"), 1, "buckles at a stress of -"},
    };
}

}  // namespace

TEST_SUITE("slow") {
    TEST_CASE("designs at the edge end in frequencies or in a clear statement") {
        for (const EdgeDesign& d : edge_designs()) {
            CAPTURE(d.name);
            const fs::path file =
                write("edge.toml", "[film]\nmaterial = \"nitride-stoichiometric\"\nthickness = \"100 nm\"\n" +
                                       std::string(d.film.empty() ? "stress = \"1 GPa\"\n" : "") + d.film + d.rest);
            const Run run = tymbal("predict " + file.string() + " --modes 2 --accuracy 0.02 --json -");
            CHECK(run.status == d.status);
            if (run.status != 0) {
                if (!run.out.empty()) {  // a film that is not stable has a JSON that says so, and no modes
                    const auto root = nlohmann::json::parse(run.out);
                    CHECK(root["film"]["stable"] == false);
                    CHECK(root["film"]["buckling_stress_pa"] < 0.0);
                    CHECK(root["modes"].empty());
                }
                CHECK_MESSAGE(run.err.find(d.words) != std::string::npos, run.err);
                continue;
            }
            const auto root = nlohmann::json::parse(run.out);
            for (const auto& mode : root["modes"]) CHECK(mode["frequency_hz"].get<double>() > 0.0);
            CHECK(root["warnings"].dump().find(d.words) != std::string::npos);
        }
    }
}

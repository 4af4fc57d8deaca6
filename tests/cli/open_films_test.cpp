// Films with free sides at the terminal: strips, modes near a frequency, films that are not stable.
#include "support/places.h"
#include "support/program.h"

#include <doctest/doctest.h>
#include <nlohmann/json.hpp>

#include <cmath>
#include <string>

using namespace program_run;
using Json = nlohmann::json;

namespace {

const std::string film = "[film]\nmaterial = \"nitride-stoichiometric\"\nthickness = \"50 nm\"\nstress = \"1 GPa\"\n";

std::string opening(const char* vertices) {
    return std::string("[[openings]]\nshape = \"polygon\"\nvertices = ").append(vertices).append("\n");
}

/// A strip between slots with a square tab on either side: thin, its tabs buckle.
std::string tabs() {
    return film + "[outline]\nshape = \"rectangle\"\nwidth = \"200 um\"\nheight = \"40 um\"\n" +
           opening(
               "[[\"-110 um\", \"4 um\"], [\"-6 um\", \"4 um\"], [\"-6 um\", \"16 um\"], [\"6 um\", \"16 um\"], "
               "[\"6 um\", \"4 um\"], [\"110 um\", \"4 um\"], [\"110 um\", \"25 um\"], [\"-110 um\", \"25 um\"]]") +
           opening(
               "[[\"-110 um\", \"-4 um\"], [\"-6 um\", \"-4 um\"], [\"-6 um\", \"-16 um\"], [\"6 um\", \"-16 um\"], "
               "[\"6 um\", \"-4 um\"], [\"110 um\", \"-4 um\"], [\"110 um\", \"-25 um\"], [\"-110 um\", \"-25 um\"]]") +
           "[solve]\nmodes = 2\n";
}

}  // namespace

TEST_SUITE("cli") {
    TEST_CASE("modes near a frequency come with number, place and the share of their motion inside a radius") {
        const std::string design = "predict " + example("few-holes");
        const Json all = Json::parse(tymbal(design + " --modes 8 --json -").out);
        const double wanted = all["modes"][5]["frequency_hz"];
        const Run near =
            tymbal(design + " --modes 2 --within '30 um' --near '" + std::to_string(wanted) + " Hz' --json -");
        REQUIRE(near.status == 0);
        const Json found = Json::parse(near.out);
        REQUIRE(found["modes"].size() == 2);
        for (const Json& mode : found["modes"]) {
            const int number = mode["number"];
            CHECK(std::abs(number - 6) <= 1);
            CHECK(mode["label"] == std::string("#").append(std::to_string(number)));
            const Json& same = all["modes"][static_cast<std::size_t>(number - 1)];
            CHECK(std::abs(mode["frequency_hz"].get<double>() / same["frequency_hz"].get<double>() - 1.0) < 1e-3);
            CHECK(mode["share_within"] > 0.0);
            CHECK(mode["share_within"] < 1.0);
            CHECK(mode["bending_share"] > 0.0);
            CHECK(mode["rim_share"] <= 1.0);
        }
        const Run table = tymbal(design + " --modes 2 --within '30 um' --near '" + std::to_string(wanted) + " Hz'");
        CHECK(table.out.find("WHERE THE MODES LIVE") != std::string::npos);
        CHECK(tymbal(design + " --near '3 um'").status == 2);
    }

    TEST_CASE("a pad on thin tethers had no answer: the grid for static questions saw it buckle") {
        std::string pad = film + "[outline]\nshape = \"rectangle\"\nwidth = \"600 um\"\nheight = \"600 um\"\n";
        for (const char* angle : {"0 deg", "90 deg", "180 deg", "270 deg"})
            pad.append(opening("[[\"-297 um\", \"310 um\"], [\"-47 um\", \"50 um\"], [\"47 um\", \"50 um\"], "
                               "[\"297 um\", \"310 um\"]]"))
                .append("angle = \"")
                .append(angle)
                .append("\"\n");
        pad += "[solve]\nmodes = 1\naccuracy = 0.05\n";
        const std::string blind = write("blind-pad.toml", pad).string();
        const std::string spot = "[readout]\nwavelength = \"1064 nm\"\nspot_radius = \"20 um\"\n";
        const std::string seen = write("seen-pad.toml", pad + spot).string();
        const Run plain = tymbal("predict " + blind + " --json -"), lit = tymbal("predict " + seen + " --json -");
        REQUIRE(plain.status == 0);
        REQUIRE(lit.status == 0);
        const Json a = Json::parse(plain.out), b = Json::parse(lit.out);
        // Four strings and a mass [derived]: tethers of 4.24 to 18 um over 355.7 um, which what they and half the pad's
        // diagonal would shrink by pulls taut; in the fundamental they move as 1 - s/L. Corners yield, so a tenth.
        const double narrow = 4.24e-6, wide = 18.0e-6, length = 355.7e-6, half_pad = 68.6e-6, thickness = 50e-9;
        const double slender = length * std::log(wide / narrow) / (wide - narrow);
        const double pull = 1e9 * (1.0 - 0.25) * thickness * (length + half_pad) / slender;
        const double tethers = 4.0 * length * (narrow / 3.0 + (wide - narrow) / 12.0);
        const double mass = 3100.0 * thickness * (97e-6 * 97e-6 + tethers);
        const double hz = std::sqrt(4.0 * pull / length / mass) / (2.0 * std::acos(-1.0));
        CHECK(a["modes"][0]["frequency_hz"].get<double>() == Approx(hz).epsilon(0.1));
        CHECK(a["modes"][0]["frequency_hz"] == b["modes"][0]["frequency_hz"]);
        CHECK(a["film"]["deflection_per_pressure_m_per_pa"] == b["film"]["deflection_per_pressure_m_per_pa"]);
        // The spot lifts the pad on its four strings and dents it: two places of a spot of radius r lie exp(-gamma/2) r
        // apart in the logarithmic mean, and the pad's film carries what two tethers pull along a side [derived].
        const double pad_tension = std::sqrt(2.0) * pull / 97e-6;
        const double dent = (std::log(half_pad / 20e-6) + 0.289) / (2.0 * std::acos(-1.0) * pad_tension);
        const double under_spot = b["film"]["static_stiffness_n_per_m"].get<double>();
        CHECK(under_spot == Approx(1.0 / (length / (4.0 * pull) + dent)).epsilon(0.12));
        CHECK(a["film"]["static_stiffness_n_per_m"].is_null());
        CHECK(a["modes"][0]["character"] == "pad");
        const Json web = Json::parse(tymbal("predict " + example("web") + " --modes 1 --json -").out);
        CHECK(web["modes"][0]["character"].is_null());
        CHECK(b["film"]["static_stiffness_error_n_per_m"].get<double>() < 0.02 * under_spot);
    }

    TEST_CASE("a strip tells flexure from torsion and takes its own keys alone") {
        const Run run = tymbal("predict " + example("string") + " --modes 3 --json -");
        REQUIRE(run.status == 0);
        const Json found = Json::parse(run.out);
        CHECK(found["film"]["stable"] == true);
        CHECK(found["modes"][0]["character"] == "flexure 1");
        CHECK(found["modes"][1]["character"] == "torsion 1");
        CHECK(found["modes"][0]["label"] == "#1");
        CHECK(found["modes"][0]["quality"]["dilution_factor"] > 200.0);
        const fs::path high = write("strip.toml", film +
                                                      "[outline]\nshape = \"strip\"\nlength = \"100 um\"\nheight = "
                                                      "\"5 um\"\n");
        const Run refused = tymbal("predict '" + high.string() + "'");
        CHECK(refused.status == 2);
        CHECK(refused.err.find("outline.height: does not belong to shape = \"strip\"") != std::string::npos);
    }
    TEST_CASE("a film that is not stable has a JSON that says so and from which stress it would be") {
        const fs::path file = write("tabs.toml", tabs());
        const Run run = tymbal("predict '" + file.string() + "' --json -");
        CHECK(run.status == 1);
        const Json found = Json::parse(run.out);
        CHECK(found["film"]["stable"] == false);
        CHECK(found["modes"].empty());
        const double limit = found["film"]["buckling_stress_pa"];
        CHECK(limit > 0.0);
        CHECK(limit < 1e9);
        CHECK(run.err.find("would just be stable with") != std::string::npos);
    }
}

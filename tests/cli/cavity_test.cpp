// `tymbal cavity` as a user runs it.
#include "support/places.h"
#include "support/program.h"

#include <doctest/doctest.h>
#include <nlohmann/json.hpp>

#include <algorithm>
#include <cmath>
#include <string>

using namespace program_run;
using json = nlohmann::json;

namespace {

const std::string few = " --modes 3 --accuracy 1e-2";

}  // namespace

TEST_SUITE("cli") {
    TEST_CASE(
        "cavity prints tables of at most eighty columns with its cautions, and its formats alone on standard output") {
        for (const char* name : {"cavity", "plain-square"}) {
            CAPTURE(name);
            const Run run = tymbal("cavity " + example(name) + few);
            CHECK(run.status == 0);
            CHECK(run.out.find("CAUTIONS") != std::string::npos);
            CHECK(widest_line(run.out) <= 80);
        }
        const Run csv = tymbal("cavity " + example("cavity") + few + " --csv -");
        CHECK(csv.out.rfind("index,label,frequency_hz", 0) == 0);
        CHECK(std::count(csv.out.begin(), csv.out.end(), '\n') == 4);
        const Run svg = tymbal("cavity " + example("cavity") + few + " --plot -");
        CHECK(svg.out.rfind("<svg ", 0) == 0);
        CHECK(svg.out.find("kappa/2pi (kHz)") != std::string::npos);
        CHECK(tymbal("cavity " + example("cavity") + " --plot - --json -").status == 2);
    }

    TEST_CASE("JSON of cavity has what scripts rely on") {
        const json root = json::parse(tymbal("cavity " + example("cavity") + few + " --json -").out);
        for (const char* key : {"positions", "place", "largest_linear_coupling_hz_per_m",
                                "largest_quadratic_coupling_hz_per_m2", "kappa_mean_hz", "finesse", "modes",
                                "thermal_cavity_noise_rms_hz", "bistable_power_w", "unstable_power_w", "warnings"})
            CHECK_MESSAGE(root.contains(key), key);
        for (const char* key : {"position_m", "shift_hz", "linear_coupling_hz_per_m", "quadratic_coupling_hz_per_m2",
                                "kappa_hz", "kappa_film_hz"})
            CHECK_MESSAGE(root["positions"][0].contains(key), key);
        REQUIRE(root["modes"].size() == 3);
        for (const char* key :
             {"g0_hz", "n_cav", "cooperativity", "quantum_cooperativity", "optical_spring_hz", "optical_damping_hz",
              "final_occupancy", "least_occupancy", "best_detuning_hz", "power_for_quantum_cooperativity_w"})
            CHECK_MESSAGE(root["modes"][0][key].is_number(), key);
        CHECK(root["positions"].back()["position_m"].get<double>() > 531e-9);  // half of 1064 nm
    }

    TEST_CASE("a sweep tells coupling and cooperativity: half the cavity, twice the coupling") {
        const Run run =
            tymbal("sweep " + example("cavity") + " --modes 1 --accuracy 1e-2 --vary cavity.length=5mm,10mm --json -");
        REQUIRE(run.status == 0);
        const json rows = json::parse(run.out).at("rows");
        REQUIRE(rows.size() == 2);
        const double half = rows[0].at("single_photon_coupling_hz_1").get<double>();
        const double whole = rows[1].at("single_photon_coupling_hz_1").get<double>();
        CHECK(std::abs(half / whole / 2.0 - 1.0) < 1e-3);  // terms of lambda/L
        // C0 = 4 g0^2/(kappa Gamma): g0^2 by four, kappa by two
        const double ratio = rows[0].at("single_photon_cooperativity_1").get<double>() /
                             rows[1].at("single_photon_cooperativity_1").get<double>();
        CHECK(std::abs(ratio / 2.0 - 1.0) < 2e-3);
    }

    TEST_CASE("a scan of detunings tells the coupling: tables, JSON, CSV and picture, and what does not go with it") {
        const std::string scan = places::source_dir() + "/examples/measured-detuning.csv";
        const std::string compare = "compare " + example("cavity") + " " + scan + " --modes 3";
        const Run run = tymbal(compare);
        CHECK(run.status == 0);
        CHECK(run.out.find("of what the best place has") != std::string::npos);
        CHECK(run.out.find("laser safety") != std::string::npos);
        const json fit = json::parse(tymbal(compare + " --json -").out);
        CHECK(std::abs(fit["found"]["g0_hz"].get<double>() - 14.33) < 2.0 * fit["found"]["g0_std_hz"].get<double>());
        CHECK(std::abs(fit["found"]["kappa_hz"].get<double>() - 204.8e3) <
              2.0 * fit["found"]["kappa_std_hz"].get<double>());
        CHECK(fit["power_w"].get<double>() == Approx(200e-9));
        CHECK(fit["lines"].size() == 13);
        const std::string table = tymbal(compare + " --csv -").out;
        CHECK(std::count(table.begin(), table.end(), '\n') == 14);
        CHECK(tymbal(compare + " --plot -").out.find("<svg") != std::string::npos);
        for (const char* more : {" --write-design none.toml", " --record none.db", " --stress-prior"}) {
            const Run refused = tymbal(compare + more);
            CHECK(refused.status == 2);
            CHECK(refused.err.find("fit a coupling and no film") != std::string::npos);
        }
        CHECK(tymbal("compare " + example("disc") + " " + scan).err.find("[cavity]") != std::string::npos);
    }

    TEST_CASE("a cavity that cannot be is refused with place and cure and leaves no file") {
        const fs::path out = scratch() / "cavity.svg";
        const Run none = tymbal("cavity " + example("disc") + " --plot " + out.string());
        CHECK(none.status == 2);
        CHECK(none.err.find("cavity: is missing") != std::string::npos);
        CHECK(none.err.find("disc.toml") != std::string::npos);
        CHECK_FALSE(fs::exists(out));
        CHECK(tymbal("cavity").status == 2);
    }
}

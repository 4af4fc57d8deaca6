// examples/whole-chip: one chip from the wafer's bow to the fitted film, each step from the files of the one before.
#include "support/places.h"
#include "support/program.h"

#include <doctest/doctest.h>
#include <nlohmann/json.hpp>

#include <algorithm>
#include <cmath>
#include <string>

using namespace program_run;
using nlohmann::json;

namespace {

/// First number in the line of a design file that gives this key.
double number_of(const std::string& design, const std::string& key) {
    const std::size_t at = design.find("\n" + key);
    REQUIRE(at != std::string::npos);
    const std::size_t digit = design.find_first_of("0123456789", design.find('=', at));
    return std::stod(design.substr(digit));
}

const json* value(const json& comparison, const std::string& name) {
    for (const json& v : comparison["fit"]["values"])
        if (v["name"] == name) return &v;
    return nullptr;
}

}  // namespace

TEST_SUITE("slow") {
    TEST_CASE("one chip through the whole job: the fit finds the film and size that only the maker of the data knew") {
        const fs::path folder = scratch() / "whole-chip";
        const std::string command = places::source_dir() + "/examples/whole-chip/whole-chip.sh " + places::program() +
                                    " " + folder.string() + " >" + (scratch() / "steps").string();
        REQUIRE(std::system(command.c_str()) == 0);
        const auto read = [&](const char* name) { return json::parse(slurp(folder / name)); };

        const json film = read("1-film.json"), choice = read("2-choice.json"), release = read("3-release.json");
        const std::string chosen = slurp(folder / "2-chosen.toml"), hidden = slurp(folder / "hidden" / "chip.toml");
        CHECK(number_of(chosen, "stress") == Approx(1e-6 * film["stress_pa"].get<double>()).epsilon(1e-4));
        CHECK(choice["recommended"]["chance"].get<double>() >= 0.9);
        CHECK(release["front"]["clears_at_m"].get<double>() < 2e-6);
        CHECK(slurp(folder / "4-chip.gds").size() > 1000);
        const std::string holes = slurp(folder / "4-holes.csv");
        const json prediction = read("5-prediction.json");
        CHECK(std::count(holes.begin(), holes.end(), '\n') >= prediction["film"]["hole_count"].get<int>());
        CHECK(prediction["modes"][0]["frequency_hz"].get<double>() ==
              Approx(choice["recommended"]["frequency_hz"].get<double>()).epsilon(1e-3));
        CHECK(read("6-plan.json")["modes"].size() == 12);

        const json comparison = read("8-comparison.json");
        const double stress = comparison["film"]["stress_pa"], deviation = comparison["film"]["stress_std_pa"];
        CHECK(std::abs(stress - 1e6 * number_of(hidden, "stress")) < 2.0 * deviation);
        for (const std::string side : {"width", "height"}) {
            const json* fitted = value(comparison, "outline." + side);
            REQUIRE(fitted != nullptr);
            CHECK(std::abs((*fitted)["fitted"].get<double>() - 1e-6 * number_of(hidden, side)) <
                  2.0 * (*fitted)["fitted_std"].get<double>());
        }
        int named = 0, foreign = 0;
        for (const json& peak : comparison["devices"][0]["peaks"])
            ++(peak["mode_index"].is_null() || peak["mode_index"] == 0 ? foreign : named);
        CHECK(named >= 8);
        CHECK(foreign >= 2);

        // The fitted design rings where the chip does; the design does not.
        const std::string modes = slurp(folder / "hidden" / "modes.csv");
        const std::string row = modes.substr(modes.find('\n') + 1);
        const double truth = std::stod(row.substr(row.find("\",") + 2));
        const double fitted = read("9-prediction.json")["modes"][0]["frequency_hz"];
        CHECK(fitted == Approx(truth).epsilon(1e-3));
        CHECK(std::abs(prediction["modes"][0]["frequency_hz"].get<double>() / truth - 1.0) > 5e-3);
        CHECK(slurp(folder / "9-report.html").find("<section id=\"measured\">") != std::string::npos);

        // The record passes the fit on, as wide as the scatter that the drawing states.
        const json learned = read("10-learned.json");
        CHECK(learned["lines"][0]["key"] == "film.stress");
        CHECK(learned["lines"][0]["value"].get<double>() == Approx(stress).epsilon(1e-6));
        CHECK(learned["lines"][0]["std"].get<double>() > deviation);
        CHECK(number_of(slurp(folder / "10-next.toml"), "stress") == Approx(1e-6 * stress).epsilon(1e-4));

        // The next chip has the film that the first one taught, on paper as in numbers.
        const json devices = read("12-prediction.json")["devices"], bath = read("12-release.json");
        CHECK(number_of(slurp(folder / "11-chip" / "chip.toml"), "stress") == Approx(1e-6 * stress).epsilon(1e-4));
        CHECK(devices.size() == 9);
        for (const json& d : devices)
            CHECK(d["film"]["stress_as_deposited_pa"].get<double>() == Approx(stress).epsilon(1e-4));
        CHECK(bath["window_opens_s"].get<double>() < bath["window_closes_s"].get<double>());
        CHECK(read("12-plan.json")["devices"].size() == 9);
        CHECK(slurp(folder / "13-chip.gds").size() > 10'000);
        const std::string page = slurp(folder / "13-report.html");
        for (const json& d : devices)
            CHECK(page.find("<article class=\"device\" id=\"device-" + d["name"].get<std::string>() + "\">") !=
                  std::string::npos);
        CHECK(page.find("<section id=\"record\">") != std::string::npos);
        std::size_t recorded = 0;
        const json record = read("13-record.json");
        for (const json& entry : record.at("chip").at("entries")) recorded += entry["step"] == "predicted" ? 1 : 0;
        CHECK(recorded == 9);
        fs::remove_all(folder);
    }
}

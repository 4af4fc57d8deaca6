// light as a user runs it: tables, JSON, the spectrum as CSV, refusals.
#include "support/program.h"

#include <doctest/doctest.h>
#include <nlohmann/json.hpp>

#include <algorithm>
#include <cmath>
#include <string>

using namespace program_run;
using nlohmann::json;

namespace {

const std::string film =
    "title = \"mirror\"\n[film]\nmaterial = \"nitride-stoichiometric\"\nthickness = \"210 +- 2 nm\"\n"
    "stress = \"1 GPa\"\n[outline]\nshape = \"rectangle\"\nwidth = \"40 um\"\nheight = \"40 um\"\n";
const std::string holes =
    "[holes]\nlattice = \"square\"\ndiameter = \"0.80 +- 0.01 um\"\npitch = \"1.35 um\"\nmargin = \"4 um\"\n";
const std::string readout = "[readout]\nwavelength = \"1550 nm\"\nspot_radius = \"40 um\"\nbelow = \"none\"\n";

json answer(const std::string& name, const std::string& design) {
    const Run run = tymbal("light " + write(name, design).string() + " --json -");
    CHECK(run.status == 0);
    return json::parse(run.out);
}

}  // namespace

TEST_SUITE("cli") {
    TEST_CASE("light tells a mirror's power, lines and spot") {
        const json r = answer("mirror.toml", film + holes + readout);
        const double all = r["reflectivity"].get<double>() + r["transmission"].get<double>();
        CHECK(all <= 1.0);
        CHECK(r["absorption"].get<double>() > 0.0);
        CHECK(!r["diffracts"].get<bool>());
        CHECK(r["truncation_error"].get<double>() > 0.0);
        CHECK(r["by_polarisation"].size() == 2);
        REQUIRE(r["lines"].size() == 2);
        CHECK(r["lines"][0]["polarisation"] == "TM");
        CHECK(r["lines"][1]["polarisation"] == "TE");
        for (const json& line : r["lines"]) {
            CHECK(std::abs(line["wavelength_m"].get<double>() / line["fwhm_m"].get<double>() / line["q"].get<double>() -
                           1.0) < 1e-9);
            CHECK(line["per_thickness"].get<double>() > 0.0);
            CHECK(line["wavelength_std_m"].get<double>() > 1e-10);
        }
        CHECK(r["spot"]["mode_matched"].get<double>() <= r["spot"]["reflected_power"].get<double>());
        CHECK(r["spectrum"]["wavelength_m"].size() == r["spectrum"]["reflectivity"].size());
        CHECK(r["warnings"].dump().find("wide-spot") == std::string::npos);
    }

    TEST_CASE("a film without holes has the same keys, and the thin film's values") {
        const json with = answer("mirror.toml", film + holes + readout), without = answer("film.toml", film + readout);
        for (const auto& item : with.items()) CHECK(without.contains(item.key()));
        CHECK(without["lines"].empty());
        CHECK(without["spot"].is_null());
        CHECK(without["truncation_error"].get<double>() == 0.0);
        const double n = 1.9963, b = n * 210.0 / 1550.0 * 2.0 * 3.14159265358979;  // of the row at 1550 nm
        const double f = std::pow((n * n - 1.0) * std::sin(b) / (2.0 * n), 2);  // Airy: R = f/(1 + f) for a clear film
        CHECK(std::abs(without["reflectivity"].get<double>() / (f / (1.0 + f)) - 1.0) < 1e-2);
    }

    TEST_CASE("over a gap and a substrate light tells both films, and what becomes of the lines") {
        const std::string over = "[readout]\nwavelength = \"1550 nm\"\nspot_radius = \"40 um\"\n";
        const std::string gap = "[release]\nsacrificial = \"oxide-thermal\"\ngap = \"2 um\"\n";
        const json r = answer("over.toml", film + holes + gap + over);
        const json alone = answer("mirror.toml", film + holes + readout);
        CHECK(alone["over_gap"].is_null());
        for (const json& line : alone["lines"]) CHECK(line["over_gap"].is_null());
        CHECK(r["reflectivity"] == alone["reflectivity"]);
        const json& stack = r["over_gap"];
        CHECK(stack["below"] == "silicon");
        CHECK(stack["truncation_error"].get<double>() > 0.0);
        CHECK(stack["order_coupling"].get<double>() < 1e-3);
        double all = 0.0;
        for (const char* key : {"reflectivity", "transmission", "absorption", "diffracted_up", "diffracted_down"})
            all += stack[key].get<double>();
        CHECK(std::abs(all - 1.0) < 1e-9);
        const json& broad = r["lines"].back()["over_gap"];
        CHECK(std::abs(broad["moved_m"].get<double>()) < r["lines"].back()["fwhm_m"].get<double>());
        CHECK(broad["fwhm_m"].get<double>() > 0.0);
        const Run plan = tymbal("plan " + write("over.toml", film + holes + gap + over).string() +
                                " --modes 1 --accuracy 1e-2 --json -");
        CHECK(plan.status == 0);
        CHECK(std::abs(json::parse(plan.out)["light"]["reflectivity"].get<double>() -
                       stack["reflectivity"].get<double>()) <= stack["truncation_error"].get<double>() + 1e-3);
        const Run table = tymbal("light " + write("over.toml", film + holes + gap + over).string());
        CHECK(table.out.find("OVER THE GAP") != std::string::npos);
    }

    TEST_CASE("a film without holes over a gap is the stack of plane layers") {
        const std::string gap = "[release]\nsacrificial = \"oxide-thermal\"\ngap = \"2 um\"\n";
        const std::string over = "[readout]\nwavelength = \"1550 nm\"\nspot_radius = \"9 um\"\n";
        const json r = answer("plain.toml", film + gap + over);
        const Run plan =
            tymbal("plan " + write("plain.toml", film + gap + over).string() + " --modes 1 --accuracy 1e-2 --json -");
        CHECK(plan.status == 0);
        const json seen = json::parse(plan.out)["light"];
        CHECK(std::abs(seen["reflectivity"].get<double>() - r["over_gap"]["reflectivity"].get<double>()) < 1e-9);
        CHECK(r["over_gap"]["order_coupling"].get<double>() == 0.0);
    }

    TEST_CASE("the spectrum is a table whose ends are those asked for") {
        const std::string design = write("mirror.toml", film + holes + readout).string();
        const Run run = tymbal("light " + design + " --csv - --wavelength '1400 nm..1700 nm'");
        CHECK(run.status == 0);
        const std::string head = "wavelength_m,reflectivity,transmission,error\n";
        REQUIRE(run.out.rfind(head, 0) == 0);
        const double first = std::stod(run.out.substr(head.size()));
        const double last = std::stod(run.out.substr(run.out.rfind('\n', run.out.size() - 2) + 1));
        CHECK(std::abs(first / 1.4e-6 - 1.0) < 1e-12);
        CHECK(std::abs(last / 1.7e-6 - 1.0) < 1e-12);
        CHECK(std::count(run.out.begin(), run.out.end(), '\n') == 502);
    }

    TEST_CASE("predict, plan and light see the same mirror, and an averaged index is there for comparison") {
        const std::string design = write("mirror.toml", film + holes + readout).string();
        const auto slab = [&](const std::string& options) {
            const Run run = tymbal("predict " + design + " --modes 1 --accuracy 1e-2 --json - " + options);
            CHECK(run.status == 0);
            return json::parse(run.out)["slab"];
        };
        const double r = answer("mirror.toml", film + holes + readout)["reflectivity"].get<double>();
        CHECK(std::abs(slab("")["reflectivity"].get<double>() - r) < 1e-12);
        CHECK(slab("")["seen_as"] == "lattice");
        CHECK(slab("--light averaged")["seen_as"] == "averaged");
        CHECK(slab("--light averaged")["error"].is_null());
        const Run plan = tymbal("plan " + design + " --modes 1 --accuracy 1e-2 --json -");
        CHECK(plan.status == 0);
        CHECK(std::abs(json::parse(plan.out)["light"]["reflectivity"].get<double>() - r) <=
              slab("")["error"].get<double>());
    }

    TEST_CASE("the chance to reflect what is asked for stands in the result, and is asked for with it") {
        // The draft reflects 11.4 %, on a slope: about half of its films reflect more.
        const json r = answer("mirror.toml", film + holes + readout + "[limits]\nleast_reflectivity = 0.114\n");
        CHECK(r["reflectivity"].get<double>() == Approx(0.114).epsilon(0.01));
        CHECK(r["chance_to_reflect"].get<double>() > 0.3);
        CHECK(r["chance_to_reflect"].get<double>() < 0.7);
        const std::string lonely = "[limits]\nleast_chance_to_reflect = 0.5\n";
        const Run run = tymbal("light " + write("bad.toml", film + holes + readout + lonely).string());
        CHECK(run.status == 2);
        CHECK(run.err.find("least_reflectivity") != std::string::npos);
    }

    TEST_CASE("an etch brings a line to the laser: the film that is left has it there") {
        const std::string design = write("mirror.toml", film + holes + readout).string();
        const Run run = tymbal("light " + design + " --tune '1550 nm' --json -");
        CHECK(run.status == 0);
        const json t = json::parse(run.out);
        CHECK(std::abs(t["line_after_m"].get<double>() - 1550e-9) < 5e-11);
        CHECK(!t["baths"].empty());
        CHECK(t["cautions"].dump().find("ydrofluoric") != std::string::npos);
        // The same film, written as a design, has its line where the tuning says.
        const double h = t["thickness_after_m"].get<double>(), d = t["hole_after_m"].get<double>();
        std::string other = film + holes + readout;
        other.replace(other.find("210 +- 2 nm"), 11, std::to_string(1e9 * h) + " nm");
        other.replace(other.find("0.80 +- 0.01 um"), 15, std::to_string(1e6 * d) + " um");
        const json lines = answer("tuned.toml", other)["lines"];
        CHECK(std::abs(lines.back()["wavelength_m"].get<double>() - 1550e-9) < 1e-10);
        CHECK(tymbal("light " + design + " --tune '1700 nm'").status == 1);
        CHECK(tymbal("light " + design + " --tune '1550 nm' --csv -").status == 2);
        CHECK(tymbal("light " + design + " --line '1550 nm'").status == 2);
    }

    TEST_CASE("what light cannot answer is refused with a cure") {
        const auto fails = [](const std::string& design, const std::string& options, int status, const char* words) {
            const Run run = tymbal("light " + write("bad.toml", design).string() + options);
            CHECK(run.status == status);
            CHECK(run.out.empty());
            CAPTURE(run.err);
            CHECK(run.err.find(words) != std::string::npos);
        };
        const std::string list = "[holes]\nlattice = \"list\"\ndiameter = \"1 um\"\ncentres = [[\"0 um\", \"0 um\"]]\n";
        fails(film + holes, "", 1, "readout.wavelength");
        fails(film + list + readout, "", 1, "no unit cell");
        fails(film + holes + readout, " --wavelength 1550nm", 2, "FROM..TO");
        fails(film + holes + readout, " --wavelength 1600nm..1500nm", 2, "does not rise");
        fails(film + holes + readout, " --wavelength 1200nm..1500nm", 1, "diffracts below 1350");
    }
}

// The program as a user runs it: exit status, streams, files, JSON keys.
#include "support/program.h"
#include "support/places.h"

#include <doctest/doctest.h>
#include <nlohmann/json.hpp>

#include <cmath>
#include <filesystem>
#include <fstream>
#include <string>

namespace fs = std::filesystem;
using namespace program_run;
using nlohmann::json;

TEST_SUITE("cli") {
    TEST_CASE("JSON on standard output has every promised key and nothing else is printed") {
        const Run run = tymbal("predict " + example("perforated-square") + " --json -");
        REQUIRE(run.status == 0);
        CHECK(run.err.empty());
        const json root = json::parse(run.out);
        CHECK(root["tool"]["name"] == "tymbal");
        CHECK(root["design"]["sha256"].get<std::string>().size() == 64);
        CHECK(root["model"] == "averaged");
        for (const char* key :
             {"fill_factor", "hole_count", "stress_as_deposited_pa", "stress_relaxed_mean_pa",
              "stress_peak_von_mises_pa", "tension_x_n_per_m", "tension_y_n_per_m", "areal_density_kg_per_m2",
              "youngs_modulus_effective_pa", "poisson_ratio_effective", "bending_stiffness_n_m", "mass_kg",
              "static_stiffness_n_per_m", "deflection_per_pressure_m_per_pa"})
            CHECK_MESSAGE(root["film"].contains(key), key);
        REQUIRE(root["modes"].size() == 12);
        const json& mode = root["modes"][0];
        for (const char* key : {"index", "label", "frequency_hz", "frequency_std_hz", "discretisation_error_hz",
                                "effective_mass_kg", "effective_mass_error_kg", "effective_mass_at_spot_kg",
                                "spring_constant_n_per_m", "zero_point_m", "thermal_occupancy", "quality",
                                "linewidth_hz", "qf_hz", "thermal_force_noise_n_per_rthz", "single_photon_coupling_hz"})
            CHECK_MESSAGE(mode.contains(key), key);
        for (const char* key :
             {"total", "total_low", "total_high", "limited_by", "dilution_factor", "dilution_factor_low",
              "dilution_factor_high", "intrinsic", "diluted", "radiation", "radiation_low", "radiation_high", "gas",
              "squeeze_film", "squeeze_film_low", "thermoelastic"})
            CHECK_MESSAGE(mode["quality"].contains(key), key);
        CHECK(mode["single_photon_coupling_hz"].is_null());  // no cavity in this design
        CHECK(root["slab"]["reflectivity"].is_number());
        CHECK(root["sources"].size() > 10);
        for (const json& source : root["sources"]) CHECK_FALSE(source["source"].get<std::string>().empty());
        CHECK(root["warnings"].is_array());
    }

    TEST_CASE("golden run: the perforated example keeps its numbers" * doctest::test_suite("slow")) {
        // Recorded from this program; guards against unwanted change, the physics is checked elsewhere. Tolerances: the
        // reported accuracy of 1e-3 for frequencies, 2 % for derived figures.
        const json root = json::parse(tymbal("predict " + example("perforated-square") + " --json -").out);
        CHECK(root["film"]["hole_count"] == 563);
        CHECK(root["modes"][0]["label"] == "(1,1)");
        CHECK(root["modes"][0]["frequency_hz"].get<double>() == Approx(3.0788e6).epsilon(1e-3));
        CHECK(root["modes"][3]["frequency_hz"].get<double>() == Approx(6.162e6).epsilon(1e-3));
        CHECK(root["modes"][0]["effective_mass_kg"].get<double>() == Approx(9.35e-13).epsilon(0.02));
        CHECK(root["modes"][0]["quality"]["dilution_factor"].get<double>() == Approx(103.5).epsilon(0.02));
        CHECK(root["film"]["stress_relaxed_mean_pa"].get<double>() == Approx(8.304e8).epsilon(0.005));
    }

    TEST_CASE("every example predicts, in tables of at most eighty columns" * doctest::test_suite("slow")) {
        for (const char* name : {"perforated-square", "plain-square", "disc", "thick-plate", "ring", "corner-room",
                                 "metal-drum", "pattern", "hole-field"}) {
            CAPTURE(name);
            const Run run = tymbal("predict " + example(name) + " --modes 4 --explain");
            CHECK(run.status == 0);
            std::istringstream lines(run.out);
            for (std::string line; std::getline(lines, line);)
                CHECK_MESSAGE(line.size() <= 82, line);  // a few UTF-8 bytes to spare
        }
    }

    TEST_CASE("plan prints tables of at most eighty columns with its cautions, JSON and CSV alone on standard output" *
              doctest::test_suite("slow")) {
        for (const char* name : {"perforated-square", "plain-square", "disc", "ring", "corner-room"}) {
            CAPTURE(name);
            const Run run = tymbal("plan " + example(name) + " --modes 6");
            CHECK(run.status == 0);
            CHECK(run.out.find("CAUTIONS") != std::string::npos);
            std::istringstream lines(run.out);
            for (std::string line; std::getline(lines, line);) CHECK_MESSAGE(line.size() <= 80, line);
        }
        const json root = json::parse(tymbal("plan " + example("perforated-square") + " --modes 3 --json -").out);
        CHECK(root["modes"].size() == 3);
        for (const char* key :
             {"window_low_hz", "record_s", "drive_ceiling_m", "peak_m_per_rthz", "pressure_limit_pa", "power_limit_w",
              "nearest_harmonic", "nearest_chip_mode", "best_spot", "chip_radiation"})
            CHECK_MESSAGE(root["modes"][0].contains(key), key);
        CHECK(tymbal("plan " + example("disc") + " --modes 2 --csv -").out.rfind("index,label,frequency_hz", 0) == 0);
        CHECK(tymbal("plan " + example("disc") + " --modes 2 --aim \"(7,7)\"").status == 1);
        CHECK(tymbal("plan").status == 2);
        CHECK(tymbal("plan --gas-share 2 " + example("disc")).status == 2);
    }

    TEST_CASE("release prints its cautions with every acid time, JSON alone on standard output, and a run sheet") {
        const std::filesystem::path folder = std::filesystem::temp_directory_path() / "tymbal-release-test";
        std::filesystem::create_directories(folder);
        const std::string sheet = (folder / "sheet.html").string();
        const Run run = tymbal("release " + example("hole-field") + " --run-sheet " + sheet);
        CHECK(run.status == 0);
        std::istringstream lines(run.out);
        for (std::string line; std::getline(lines, line);) CHECK_MESSAGE(line.size() <= 80, line);
        const std::string page = slurp(sheet);
        for (const char* words : {"never alone", "calcium gluconate", "Local rules"}) {
            CHECK_MESSAGE(run.out.find(words) != std::string::npos, words);
            CHECK_MESSAGE(page.find(words) != std::string::npos, words);
        }
        CHECK(page.find("http") == std::string::npos);  // asks nothing of any other machine
        const json root = json::parse(tymbal("release " + example("hole-field") + " --json -").out);
        CHECK(root["front"]["clears_at_m"].get<double>() == Approx(1.88675e-6).epsilon(1e-5));  // p/sqrt(3) - r
        CHECK(root["holes"]["drawn"]["width_m"].get<double>() < root["holes"]["etched"]["width_m"].get<double>());
        CHECK(root["cautions"].size() >= 3);
        CHECK(tymbal("release " + example("plain-square")).status == 1);  // no [release]
        CHECK(tymbal("release").status == 2);
        std::filesystem::remove_all(folder);
    }

    TEST_CASE("film gives stress with its budget, a forecast per die and a design that predicts") {
        const std::string wafer = example("wafer"), design = example("perforated-square");
        const Run run = tymbal("film " + wafer + " --design " + design);
        CHECK(run.status == 0);
        std::istringstream lines(run.out);
        for (std::string line; std::getline(lines, line);) CHECK_MESSAGE(line.size() <= 80, line);
        const json root = json::parse(tymbal("film " + wafer + " --json -").out);
        CHECK(root["stress_pa"].get<double>() == Approx(994e6).epsilon(0.002));
        CHECK(root["dies"].empty());
        const fs::path changed = scratch() / "changed.toml";
        CHECK(tymbal("film " + wafer + " --design " + design + " --quiet --write-design " + changed.string()).status ==
              0);
        CHECK(tymbal("predict " + changed.string() + " --modes 2 --quiet").status == 0);
        CHECK(tymbal("film " + wafer + " --write-design " + changed.string()).status == 2);
        CHECK(tymbal("film " + wafer + " --design " + design + " --write-design " + design).status == 2);
        CHECK(tymbal("film").status == 2);
        CHECK(tymbal("film --keys").out.find("bow_before") != std::string::npos);
        CHECK(tymbal("film " + wafer + " --design " + design + " --mode \"(9,9)\"").status == 1);
    }

    TEST_CASE("bad input ends with status 2 and file, line, key on standard error") {
        const fs::path bad =
            write("bad.toml", "[film]\nmaterial = \"nitride-stoichiometric\"\nthickness = \"50 GPa\"\n");
        const Run run = tymbal("predict " + bad.string());
        CHECK(run.status == 2);
        CHECK(run.out.empty());
        CHECK(run.err.find(bad.string() + ":3: film.thickness: ") == 0);
        CHECK(tymbal("predict /no/such/file.toml").status == 2);
        CHECK(tymbal("predict").status == 2);
        CHECK(tymbal("predict --modes 0 " + example("disc")).status == 2);
        CHECK(tymbal("predct " + example("disc")).status == 2);
        CHECK(tymbal("materials silicn").err.find("did you mean 'silicon'") != std::string::npos);
    }

    TEST_CASE("a sound design without an answer ends with status 1 and the reason") {
        const Run run = tymbal("predict " + example("few-holes") + " --model averaged");
        CHECK(run.status == 1);
        CHECK(run.err.find("no answer") != std::string::npos);
    }

    TEST_CASE("files are written whole, and not at all when the design has no answer") {
        const fs::path out = scratch() / "result.json";
        CHECK(tymbal("predict " + example("disc") + " --modes 2 --quiet --json " + out.string()).status == 0);
        CHECK(json::parse(slurp(out))["modes"].size() == 2);
        fs::remove(out);
        CHECK(tymbal("predict " + example("few-holes") + " --model averaged --json " + out.string()).status == 1);
        CHECK_FALSE(fs::exists(out));
        CHECK(tymbal("predict " + example("disc") + " --modes 2 --quiet --csv /no/such/folder/x.csv").status == 2);
        const Run csv = tymbal("predict " + example("disc") + " --modes 2 --csv -");
        CHECK(csv.out.rfind("index,label,frequency_hz", 0) == 0);
    }

    TEST_CASE("an output never replaces the design, and two outputs never share a target") {
        const fs::path design = write("kept.toml", slurp(example("plain-square")));
        const Run over = tymbal("predict " + design.string() + " --modes 2 --quiet --json " + design.string());
        CHECK(over.status == 2);
        CHECK(over.err.find("is read by this run (design)") != std::string::npos);
        CHECK(slurp(design) == slurp(example("plain-square")));
        CHECK(tymbal("predict " + design.string() + " --modes 2 --json - --csv -").status == 2);
    }

    TEST_CASE("a full disk behind standard output is told, not passed over") {
        const Run run = tymbal("predict " + example("plain-square") + " --modes 2 --json - >/dev/full");
        CHECK(run.status == 2);
        CHECK(run.err.find("standard output") != std::string::npos);
    }

    TEST_CASE("a pattern is written in three formats, the same bytes each time, and read back") {
        const fs::path folder = scratch();
        for (const char* name : {"drum.gds", "drum.svg", "drum.csv"}) {
            const std::string out = (folder / name).string();
            const std::string command = "pattern " + example("pattern") + " --witness control --out " + out;
            const Run run = tymbal(command);
            CHECK(run.status == 0);
            CHECK(run.out.find("dose test") != std::string::npos);
            std::istringstream lines(run.out);
            for (std::string line; std::getline(lines, line);) CHECK_MESSAGE(line.size() <= 80, line);
            const std::string first = slurp(out);
            CHECK(first.size() > 1000);
            CHECK(tymbal(command + " --quiet").out.empty());
            CHECK(slurp(out) == first);
        }
        const std::string text = slurp(example("pattern"));
        const std::string changed = std::string(text).replace(text.find("lattice  = \"triangular\""), 23,
                                                              "lattice = \"file\"\nfile = \"drum.gds\"");
        const std::size_t pitch = changed.find("pitch ");
        const fs::path design =
            write("from-file.toml", std::string(changed).erase(pitch, changed.find('\n', pitch) - pitch));
        const Run again = tymbal("pattern " + design.string() + " --json - --out " + (folder / "again.gds").string());
        CHECK(again.status == 0);
        CHECK(json::parse(again.out)["holes"]["count"] == 563);
        // Neither the design nor the file of its holes is ever written to.
        CHECK(tymbal("pattern " + design.string() + " --out " + (folder / "drum.gds").string()).status == 2);
    }

    TEST_CASE("a design reads no file outside its folder, be it through a link, unless the user names it") {
        const fs::path inside = scratch() / "inside", outside = scratch() / "outside";
        fs::create_directories(inside);
        fs::create_directories(outside);
        std::ofstream(outside / "holes.csv") << "x (um),y (um),drawn diameter (um)\n-5,0,2\n5,0,2\n";
        fs::create_symlink(outside / "holes.csv", inside / "link.csv");
        const std::string rest = slurp(example("pattern"));
        const auto design = [&](const std::string& file) {
            std::string text = std::string(rest).replace(rest.find("lattice  = \"triangular\""), 23,
                                                         "lattice = \"file\"\nfile = \"" + file + "\"");
            const std::size_t pitch = text.find("pitch ");
            text.erase(pitch, text.find('\n', pitch) - pitch);
            std::ofstream(inside / "design.toml") << text;
            return "pattern " + (inside / "design.toml").string() + " --quiet --out " + (scratch() / "o.svg").string();
        };
        for (const std::string& file : {std::string("../outside/holes.csv"), (outside / "holes.csv").string(),
                                        std::string("link.csv"), std::string("/etc/passwd")}) {
            CAPTURE(file);
            const Run run = tymbal(design(file));
            CHECK(run.status == 2);
            CHECK(run.err.find("holes.file: ") != std::string::npos);
            CHECK(run.err.find("--hole-file") != std::string::npos);
            CHECK(tymbal(design(file) + " --hole-file " + (outside / "holes.csv").string()).status == 0);
        }
        fs::remove_all(inside);
        fs::remove_all(outside);
    }

    TEST_CASE("JSON of a pattern has its four sizes, checks and witnesses, and nothing else is printed") {
        const Run run =
            tymbal("pattern " + example("pattern") + " --witness undercut-ruler --witness size-ladder --out " +
                   (scratch() / "x.gds").string() + " --json -");
        REQUIRE(run.status == 0);
        const json root = json::parse(run.out);
        CHECK(root["sizes"]["drawn"]["width_m"].get<double>() == Approx(1.7e-6));
        CHECK(root["sizes"]["released"]["width_m"].get<double>() == Approx(2e-6));
        CHECK(root["holes"]["count"] == 563);
        CHECK(root["holes"]["references"].get<int>() < 50);
        CHECK(root["checks"][0]["held"] == true);
        CHECK(root["witnesses"].size() == 4);
        CHECK(root["witnesses"][0]["frees_at_undercut_m"].size() == 10);
        CHECK(root["layers"]["holes"] == 1);
    }

    TEST_CASE("bad patterns write nothing") {
        const fs::path out = scratch() / "none.gds";
        const std::string to = " --out " + out.string();
        CHECK(tymbal("pattern " + example("pattern")).status == 2);
        CHECK(tymbal("pattern " + example("pattern") + " --out x.dxf").err.find(".gds, .svg and .csv") !=
              std::string::npos);
        CHECK(tymbal("pattern " + example("pattern") + " --witness rulr" + to).status == 2);
        CHECK(tymbal("pattern " + example("plain-square") + to).status == 1);  // no holes
        write("hostile.gds", std::string("\0\6\0\2\2\x58\xff\xfe\3\5", 10));
        const std::string text = slurp(example("pattern"));
        const std::string changed = std::string(text).replace(text.find("lattice  = \"triangular\""), 23,
                                                              "lattice = \"file\"\nfile = \"hostile.gds\"");
        const std::size_t pitch = changed.find("pitch ");
        const fs::path design =
            write("hostile.toml", std::string(changed).erase(pitch, changed.find('\n', pitch) - pitch));
        const Run run = tymbal("pattern " + design.string() + to);
        CHECK(run.status == 2);
        CHECK(run.err.find("hostile.gds: byte 6: a record claims 65534 bytes") != std::string::npos);
        CHECK_FALSE(fs::exists(out));
        CHECK(tymbal("pattern " + example("pattern") + " --quiet --out /no/such/folder/x.gds").status == 2);
    }

    TEST_CASE("compare names modes, fits the film and writes every output" * doctest::test_suite("slow")) {
        const fs::path out = scratch() / "compare.json", plot = scratch() / "compare.svg";
        const fs::path fitted = scratch() / "fitted.toml", csv = scratch() / "compare.csv";
        const std::string folder = places::source_dir() + "/examples/";
        const Run run =
            tymbal("compare " + example("plain-square") + " " + folder + "measured-peaks.csv --json " + out.string() +
                   " --plot " + plot.string() + " --write-design " + fitted.string() + " --csv " + csv.string());
        REQUIRE(run.status == 0);
        CHECK(run.err.empty());
        std::istringstream lines(run.out);
        for (std::string line; std::getline(lines, line);) CHECK_MESSAGE(line.size() <= 80, line);
        const json root = json::parse(slurp(out));
        // The film of the example was made with 0.958 GPa, its density as in the table (see the file's head).
        const double stress = root["film"]["stress_pa"], sigma = root["film"]["stress_std_pa"];
        CHECK(std::abs(stress - 0.958e9) < 2.0 * sigma);
        CHECK(root["devices"][0]["peaks"].size() == 22);
        for (const char* key : {"frequency_hz", "label", "confidence", "fitted_hz", "residual", "quality", "remark"})
            CHECK_MESSAGE(root["devices"][0]["peaks"][0].contains(key), key);
        CHECK(root["devices"][0]["peaks"][1]["label"] == "(1,1)");
        CHECK(root["cannot_tell"].size() >= 3);
        CHECK(slurp(plot).rfind("<svg", 0) == 0);
        CHECK(slurp(csv).rfind("device,frequency_hz", 0) == 0);
        CHECK(slurp(fitted).find("width  = \"500 +- 1 um\"") != std::string::npos);  // other lines stay
        const json next = json::parse(tymbal("predict " + fitted.string() + " --modes 1 --json -").out);
        CHECK(next["modes"][0]["frequency_hz"].get<double>() == Approx(787.01e3).epsilon(1e-4));
    }

    TEST_CASE("compare repeats itself byte by byte" * doctest::test_suite("slow")) {
        const std::string arguments =
            "compare " + example("plain-square") + " " + places::source_dir() + "/examples/measured-peaks.csv --json -";
        CHECK(tymbal(arguments).out == tymbal(arguments).out);
    }

    TEST_CASE("compare refuses what it cannot read and says when it cannot tell") {
        const fs::path one = write("one.csv", "frequency (kHz)\n787.0\n");
        const fs::path text = write("text.csv", "frequency (kHz)\n787.0\nabout 1200\n");
        const std::string design = example("plain-square");
        CHECK(tymbal("compare " + design + " " + one.string()).status == 1);
        const Run run = tymbal("compare " + design + " " + text.string());
        CHECK(run.status == 2);
        CHECK(run.err.find(text.string() + ":3: ") == 0);
        CHECK(tymbal("compare " + design).status == 2);
        CHECK(tymbal("compare " + design + " /no/such/list.csv").status == 2);
        CHECK(tymbal("compare " + design + " " + one.string() + " --write-design " + design).status == 2);
        CHECK(tymbal("compare " + design + " " + one.string() + " --json " + one.string()).status == 2);
    }

    TEST_CASE("help, version, keys and materials") {
        CHECK(tymbal("--help").out.find("Example: tymbal predict") != std::string::npos);
        CHECK(tymbal("--version").out.rfind("tymbal ", 0) == 0);
        CHECK(tymbal("predict --help").out.find("--keys") != std::string::npos);
        CHECK(tymbal("predict --keys").out.find("thickness") != std::string::npos);
        const Run materials = tymbal("materials");
        CHECK(materials.status == 0);
        CHECK(materials.out.find("Vlassak and Nix") != std::string::npos);
        CHECK(json::parse(tymbal("materials --json -").out).contains("niobium"));
    }
}

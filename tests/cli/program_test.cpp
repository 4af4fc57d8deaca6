// The program as a user runs it: exit status, streams, files, JSON keys.
#include <doctest/doctest.h>
#include <nlohmann/json.hpp>

#include <array>
#include <cmath>
#include <cstdio>
#include <filesystem>
#include <fstream>
#include <sstream>
#include <string>

#include <unistd.h>

namespace fs = std::filesystem;
using nlohmann::json;

namespace {

struct Run {
    int status = -1;
    std::string out, err;
};

std::string slurp(const fs::path& path) {
    std::ifstream in(path);
    std::stringstream text;
    text << in.rdbuf();
    return text.str();
}

fs::path scratch() {
    const fs::path folder = fs::temp_directory_path() / ("tymbal-cli-" + std::to_string(::getpid()));
    fs::create_directories(folder);
    return folder;
}

Run tymbal(const std::string& arguments) {
    const fs::path err = scratch() / "stderr";
    const std::string command = std::string(TYMBAL_PROGRAM) + " " + arguments + " 2>" + err.string();
    Run run;
    FILE* pipe = ::popen(command.c_str(), "r");
    REQUIRE(pipe != nullptr);
    std::array<char, 4096> block{};
    while (const std::size_t n = std::fread(block.data(), 1, block.size(), pipe)) run.out.append(block.data(), n);
    const int raw = ::pclose(pipe);
    run.status = raw >= 256 ? raw / 256 : raw;
    run.err = slurp(err);
    return run;
}

std::string example(const std::string& name) {
    return std::string(TYMBAL_SOURCE_DIR) + "/examples/" + name + ".toml";
}

fs::path write(const std::string& name, const std::string& text) {
    const fs::path path = scratch() / name;
    std::ofstream(path) << text;
    return path;
}

}  // namespace

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
        for (const char* key :
             {"index", "label", "frequency_hz", "frequency_std_hz", "discretisation_error_hz", "effective_mass_kg",
              "effective_mass_at_spot_kg", "spring_constant_n_per_m", "zero_point_m", "thermal_occupancy", "quality",
              "linewidth_hz", "qf_hz", "thermal_force_noise_n_per_rthz", "single_photon_coupling_hz"})
            CHECK_MESSAGE(mode.contains(key), key);
        for (const char* key :
             {"total", "total_low", "total_high", "limited_by", "dilution_factor", "intrinsic", "diluted", "radiation",
              "radiation_low", "radiation_high", "gas", "squeeze_film", "squeeze_film_low", "thermoelastic"})
            CHECK_MESSAGE(mode["quality"].contains(key), key);
        CHECK(mode["single_photon_coupling_hz"].is_null());  // no cavity in this design
        CHECK(root["slab"]["reflectivity"].is_number());
        CHECK(root["sources"].size() > 10);
        for (const json& source : root["sources"]) CHECK_FALSE(source["source"].get<std::string>().empty());
        CHECK(root["warnings"].is_array());
    }

    TEST_CASE("golden run: the perforated example keeps its numbers") {
        // Recorded from this program; guards against unwanted change, the physics is checked elsewhere. Tolerances: the
        // reported accuracy of 1e-3 for frequencies, 2 % for derived figures.
        const json root = json::parse(tymbal("predict " + example("perforated-square") + " --json -").out);
        CHECK(root["film"]["hole_count"] == 563);
        CHECK(root["modes"][0]["label"] == "(1,1)");
        CHECK(root["modes"][0]["frequency_hz"].get<double>() == doctest::Approx(3.0788e6).epsilon(1e-3));
        CHECK(root["modes"][3]["frequency_hz"].get<double>() == doctest::Approx(6.162e6).epsilon(1e-3));
        CHECK(root["modes"][0]["effective_mass_kg"].get<double>() == doctest::Approx(9.35e-13).epsilon(0.02));
        CHECK(root["modes"][0]["quality"]["dilution_factor"].get<double>() == doctest::Approx(103.5).epsilon(0.02));
        CHECK(root["film"]["stress_relaxed_mean_pa"].get<double>() == doctest::Approx(8.304e8).epsilon(0.005));
    }

    TEST_CASE("every example predicts, in tables of at most eighty columns") {
        for (const char* name : {"perforated-square", "plain-square", "disc", "thick-plate", "ring", "corner-room"}) {
            CAPTURE(name);
            const Run run = tymbal("predict " + example(name) + " --modes 4 --explain");
            CHECK(run.status == 0);
            std::istringstream lines(run.out);
            for (std::string line; std::getline(lines, line);)
                CHECK_MESSAGE(line.size() <= 82, line);  // a few UTF-8 bytes to spare
        }
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
        const Run run = tymbal("predict " + example("disc") + " --model resolved");
        CHECK(run.status == 1);
        CHECK(run.err.find("no answer") != std::string::npos);
    }

    TEST_CASE("files are written whole, and not at all when the design has no answer") {
        const fs::path out = scratch() / "result.json";
        CHECK(tymbal("predict " + example("disc") + " --modes 2 --quiet --json " + out.string()).status == 0);
        CHECK(json::parse(slurp(out))["modes"].size() == 2);
        fs::remove(out);
        CHECK(tymbal("predict " + example("disc") + " --model resolved --json " + out.string()).status == 1);
        CHECK_FALSE(fs::exists(out));
        CHECK(tymbal("predict " + example("disc") + " --modes 2 --quiet --csv /no/such/folder/x.csv").status == 2);
        const Run csv = tymbal("predict " + example("disc") + " --modes 2 --csv -");
        CHECK(csv.out.rfind("index,label,frequency_hz", 0) == 0);
    }

    TEST_CASE("an output never replaces the design, and two outputs never share a target") {
        const fs::path design = write("kept.toml", slurp(example("plain-square")));
        const Run over = tymbal("predict " + design.string() + " --modes 2 --quiet --json " + design.string());
        CHECK(over.status == 2);
        CHECK(over.err.find("is the design") != std::string::npos);
        CHECK(slurp(design) == slurp(example("plain-square")));
        CHECK(tymbal("predict " + design.string() + " --modes 2 --json - --csv -").status == 2);
    }

    TEST_CASE("a full disk behind standard output is told, not passed over") {
        const Run run = tymbal("predict " + example("plain-square") + " --modes 2 --json - >/dev/full");
        CHECK(run.status == 2);
        CHECK(run.err.find("standard output") != std::string::npos);
    }

    TEST_CASE("compare names modes, fits the film and writes every output") {
        const fs::path out = scratch() / "compare.json", plot = scratch() / "compare.svg";
        const fs::path fitted = scratch() / "fitted.toml", csv = scratch() / "compare.csv";
        const std::string folder = std::string(TYMBAL_SOURCE_DIR) + "/examples/";
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
        CHECK(next["modes"][0]["frequency_hz"].get<double>() == doctest::Approx(787.01e3).epsilon(1e-4));
    }

    TEST_CASE("compare repeats itself byte by byte") {
        const std::string arguments =
            "compare " + example("plain-square") + " " + TYMBAL_SOURCE_DIR + "/examples/measured-peaks.csv --json -";
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

// Each broken material table ends in an InputError that names file, line and key; none in a fault of the program.
#include "support/places.h"
#include "tymbal/base/error.h"
#include "tymbal/read/read_materials.h"

#include <doctest/doctest.h>

#include <filesystem>
#include <fstream>
#include <sstream>
#include <string>
#include <vector>

#include <unistd.h>

using namespace tymbal;
namespace fs = std::filesystem;

namespace {

/// A copy of the table that can be broken, gone with the object.
struct Folder {
    fs::path path = fs::temp_directory_path() / ("tymbal-materials-" + std::to_string(::getpid()));

    Folder() { fs::copy(places::source_dir() + "/materials", path); }
    ~Folder() { fs::remove_all(path); }
    Folder(const Folder&) = delete;
    Folder& operator=(const Folder&) = delete;
};

std::string text_of(const fs::path& file) {
    std::ostringstream out;
    out << std::ifstream(file).rdbuf();
    return out.str();
}

/// The refusal of the table with `from` replaced in one file, which is put back.
std::string refusal(const Folder& folder, const std::string& file, const std::string& from, const std::string& to) {
    const std::string sound = text_of(folder.path / file);
    const std::size_t at = sound.find(from);
    REQUIRE_MESSAGE(at != std::string::npos, file << " has no " << from);
    std::ofstream(folder.path / file) << std::string(sound).replace(at, from.size(), to);
    std::string message;
    try {
        (void)read_materials(folder.path.string());
    } catch (const InputError& e) {
        message = e.what();
    }
    std::ofstream(folder.path / file) << sound;
    return message;
}

struct Broken {
    const char *file, *from, *to, *place, *hint;
};

const std::vector<Broken> broken_tables{
    {"metals.toml", "deviation = \"5 GPa\"", "deviation = \"-1 GPa\"",
     "metals.toml:5: aluminium.youngs_modulus.deviation", "must not be below zero"},
    {"metals.toml", "deviation = \"5 GPa\"", "deviation = \"nan GPa\"",
     "metals.toml:5: aluminium.youngs_modulus.deviation", "begin with a number"},
    {"metals.toml", "deviation = \"5 GPa\"", "deviation = \"1e308 GPa\"",
     "metals.toml:5: aluminium.youngs_modulus.deviation", "too large"},
    {"metals.toml", "deviation = \"5 GPa\"", "deviation = \"5 +- 1 GPa\"",
     "metals.toml:5: aluminium.youngs_modulus.deviation", "uncertainty of its own"},
    {"metals.toml", "value = \"70 GPa\"", "value = \"70 +- 3 GPa\"", "metals.toml:5: aluminium.youngs_modulus.value",
     "'deviation'"},
    {"metals.toml", "value = \"70 GPa\"", "value = \"-70 GPa\"", "metals.toml:5: aluminium.youngs_modulus.value",
     "above zero"},
    {"metals.toml", "value = \"0.35\"", "value = 0.5", "metals.toml:6: aluminium.poisson_ratio.value",
     "between -1 and 0.5"},
    {"metals.toml", "deviation = \"0.02\"", "deviation = -0.02", "metals.toml:6: aluminium.poisson_ratio.deviation",
     "must not be below zero"},
    {"metals.toml", "deviation = \"0.02\"", "deviation = inf", "metals.toml:6: aluminium.poisson_ratio.deviation",
     "finite"},
    {"metals.toml", "deviation = \"5 GPa\", ", "", "metals.toml:5: aluminium.youngs_modulus.deviation", "is missing"},
    {"liquids.toml", "surface_tension = { value = \"0 mN/m\"", "adhesion = { value = \"0.1 J/m^2\"", "liquids.toml:15",
     "critical-point.surface_tension: is missing; give a table"},
    {"gases.toml", "molar_mass", "viscosity_", "gases.toml", "is not a key here"},
    {"metals.toml", "origin = \"memory\"", "origin = \"hearsay\"", "metals.toml:5: aluminium.youngs_modulus.origin",
     "accepted: table, abstract, memory, derived"},
    {"metals.toml", "[aluminium]", "[silicon]\ntitle = \"once more\"\n[aluminium]", "metals.toml:3: silicon",
     "is a row of two files; name them apart"},
    {"etchants.toml", "oxide-thermal ", "oxide-thermol ", "etchants.toml:9: hf-49.rates.oxide-thermol",
     "did you mean 'oxide-thermal'"},
    {"solids.toml", "[silicon.index]", "[silicon.indes]", "solids.toml", "did you mean 'index'"},
};

}  // namespace

TEST_SUITE("unit") {
    TEST_CASE("a folder without a material table is refused with the option that names it") {
        CHECK_THROWS_WITH_AS(
            (void)find_materials("/no/such/folder", "tymbal"),
            doctest::Contains("/no/such/folder: holds no material table, though given as one (materials); name the"),
            InputError);
    }

    TEST_CASE("a broken material table is refused with file, line, key and cure") {
        const Folder folder;
        CHECK(read_materials(folder.path.string()).solids.count("silicon") == 1);
        for (const Broken& b : broken_tables) {
            const std::string message = refusal(folder, b.file, b.from, b.to);
            CHECK_MESSAGE(message.find(b.place) != std::string::npos, b.to << ": " << message);
            CHECK_MESSAGE(message.find(b.hint) != std::string::npos, b.to << ": " << message);
        }
        CHECK(refusal(folder, "solids.toml", text_of(folder.path / "solids.toml"), "")
                  .find("solids.toml: silicon: is no row") != std::string::npos);
        const std::string endless = "[silicon]\n# " + std::string(16000, 'x') + "\n";
        std::string long_table;
        while (long_table.size() <= 1U << 20U) long_table += endless;
        CHECK(refusal(folder, "gases.toml", "[", long_table + "[").find("larger than 1 MiB") != std::string::npos);
    }
}

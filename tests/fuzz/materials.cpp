// Any bytes as one file of the material table, the others as they are: refused, or a table that is written as JSON.
#include "fuzz.h"

#include "support/places.h"
#include "tymbal/print/write_json.h"

#include <nlohmann/json.hpp>

#include <array>
#include <filesystem>
#include <fstream>
#include <sstream>

using namespace tymbal;

namespace {

constexpr std::array<const char*, 6> names{"films.toml", "solids.toml",   "metals.toml",
                                           "gases.toml", "etchants.toml", "liquids.toml"};

/// A folder of its own for the table, made once; the other files are empty to be quick.
const std::filesystem::path& folder() {
    static const std::filesystem::path made = [] {
        const auto path = std::filesystem::temp_directory_path() / ("tymbal-fuzz-" + std::to_string(::getpid()));
        std::filesystem::create_directories(path);
        std::atexit([] { std::filesystem::remove_all(folder()); });
        return path;
    }();
    return made;
}

const std::string& solids() {
    static const std::string text = [] {
        std::ostringstream out;
        out << std::ifstream(places::source_dir() + "/materials/solids.toml").rdbuf();
        return out.str();
    }();
    return text;
}

}  // namespace

extern "C" int LLVMFuzzerTestOneInput(const std::uint8_t* data, std::size_t size) {
    if (size == 0) return 0;
    const std::size_t broken = data[0] % names.size();
    for (std::size_t k = 0; k < names.size(); ++k) {
        std::ofstream file(folder() / names[k], std::ios::binary);
        if (k == broken) file << fuzz::text_of(data + 1, size - 1);
        if (k != broken && names[k] == std::string("solids.toml")) file << solids();  // without silicon all is refused
    }
    fuzz::may_refuse([] {
        const Materials table = read_materials(folder().string());
        std::ostringstream out;
        write_json(out, table, "");
        fuzz::require(nlohmann::json::accept(out.str()), "a table is written as JSON");
    });
    return 0;
}

#include "support/places.h"
#include "tymbal/base/error.h"
#include "tymbal/files/read_materials.h"
#include "tymbal/files/version.h"
#include "tymbal/files/whole_file.h"
#include "tymbal/files/write_table.h"

#include <doctest/doctest.h>

#include <filesystem>
#include <fstream>
#include <sstream>

#include <unistd.h>

using namespace tymbal;
namespace fs = std::filesystem;

TEST_SUITE("unit") {
    TEST_CASE("a writer that fails leaves nothing behind and does not touch what was there") {
        const fs::path folder = fs::temp_directory_path() / ("tymbal-whole-" + std::to_string(::getpid()));
        fs::create_directories(folder);
        const std::string target = (folder / "out.txt").string();
        write_whole(target, [](std::ostream& out) { out << "first"; });
        CHECK_THROWS_AS(write_whole(target,
                                    [](std::ostream& out) {
                                        out << "half";
                                        throw NoAnswer("broken off");
                                    }),
                        NoAnswer);
        std::ifstream in(target);
        std::string text;
        in >> text;
        CHECK(text == "first");
        CHECK(std::distance(fs::directory_iterator(folder), fs::directory_iterator{}) == 1);
        CHECK_THROWS_AS(write_whole((folder / "none" / "x").string(), [](std::ostream&) {}), InputError);
        CHECK_THROWS_AS(write_whole(folder.string(), [](std::ostream&) {}), InputError);
        fs::remove_all(folder);
    }

    TEST_CASE("a link stays a link, and a device is written to, not replaced") {
        const fs::path folder = fs::temp_directory_path() / ("tymbal-link-" + std::to_string(::getpid()));
        fs::create_directories(folder);
        std::ofstream(folder / "real") << "old";
        fs::create_symlink("real", folder / "link");
        write_whole((folder / "link").string(), [](std::ostream& out) { out << "new"; });
        CHECK(fs::is_symlink(folder / "link"));
        std::ifstream in(folder / "real");
        std::string text;
        in >> text;
        CHECK(text == "new");
        write_whole("/dev/null", [](std::ostream& out) { out << "gone"; });
        CHECK(fs::is_character_file("/dev/null"));
        CHECK_THROWS_AS(write_whole("/dev/full", [](std::ostream& out) { out << std::string(100'000, 'x'); }),
                        InputError);
        fs::remove_all(folder);
    }

    TEST_CASE("the material table names a source for every value and refuses an unknown row") {
        const Materials m = read_materials(places::source_dir() + "/materials");
        for (const char* row : {"nitride-stoichiometric", "nitride-silicon-rich", "oxide-thermal", "oxide-deposited",
                                "silicon", "aluminium", "gold", "niobium"})
            CHECK(m.solids.count(row) == 1);
        for (const char* row : {"air", "nitrogen", "helium", "argon"}) CHECK(m.gases.count(row) == 1);
        std::ostringstream out;
        write_materials(out, m, "");
        CHECK(out.str().find("from memory") != std::string::npos);
        CHECK_THROWS_WITH_AS(write_materials(out, m, "silicn"), doctest::Contains("did you mean 'silicon'"),
                             InputError);
    }

    TEST_CASE("results carry the project's version") {
        std::ifstream in(places::source_dir() + "/CMakeLists.txt");
        std::stringstream text;
        text << in.rdbuf();
        CHECK(text.str().find(std::string("VERSION ") + version) != std::string::npos);
    }
}

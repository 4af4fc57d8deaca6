#include "support/places.h"
#include "tymbal/base/error.h"
#include "tymbal/print/write_choice.h"
#include "tymbal/print/write_compare.h"
#include "tymbal/print/write_table.h"
#include "tymbal/read/read_materials.h"
#include "tymbal/text/version.h"
#include "tymbal/text/whole_file.h"

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
        CHECK(out.str().find("  nitride-stoichiometric  0.90 +- ") != std::string::npos);  // they touched
        CHECK(out.str().find("+- 0\n") == std::string::npos);
        CHECK(out.str().find("+- 0 ") == std::string::npos);
        CHECK_THROWS_WITH_AS(write_materials(out, m, "silicn"), doctest::Contains("did you mean 'silicon'"),
                             InputError);
    }

    TEST_CASE("the amplitude of a ringdown touched its name") {
        Comparison c;
        c.ringdown = ComparedRingdown{};
        c.ringdown->decay.rate = 1.0;
        c.ringdown->amplitude_m = 319e-9;
        std::ostringstream out;
        write_table(out, c);
        CHECK(out.str().find("  amplitude at the antinode, at start 319 nm\n") != std::string::npos);
    }

    TEST_CASE("choose showed stress in pascals, Q f with a prefix and the loss by another name than predict") {
        Choice c;
        c.free = {{"film.stress", 8e8, 1.1e9, {}}, {"film.thickness", 20e-9, 120e-9, {}}};
        c.recommended.changes = {{"film.stress", 800.001e6}, {"film.thickness", 33.7766e-9}};
        c.recommended.figures = DesignFigures{};
        ModeFigure mode;
        mode.qf_hz = 1.886e11;
        mode.limited_by = "diluted";
        c.recommended.figures->modes = {mode};
        c.ranges = {{"film.stress", "", 800001246.0, 1.1e9}, {"Q f", "Hz", 1.5e11, 1.886e11}};
        c.limits = {{"limits.least_qf", 1e11, "Hz"}};
        c.broken = {0};
        c.best = {c.recommended};
        c.lines = c.recommended.changes;
        std::ostringstream out;
        write_table(out, c);
        CAPTURE(out.str());
        for (const char* words :
             {"800.0 MPa ... 1.100 GPa", "1.5e11 Hz ... 1.9e11 Hz", " 1e11 Hz ", "  800.0 MPa   33.78 nm ",
              "stress = \"800.001 MPa\"", "thickness = \"33.7766 nm\"", "set by material"})
            CHECK_MESSAGE(out.str().find(words) != std::string::npos, words);
    }

    TEST_CASE("results carry the project's version") {
        std::ifstream in(places::source_dir() + "/CMakeLists.txt");
        std::stringstream text;
        text << in.rdbuf();
        CHECK(text.str().find(std::string("VERSION ") + version) != std::string::npos);
    }
}

// Answers put back into the design file: new values, everything else as it was written.
#include "support/designs.h"

#include "tymbal/base/error.h"
#include "tymbal/files/changed_design.h"

#include <doctest/doctest.h>

#include <filesystem>
#include <fstream>

#include <unistd.h>

using namespace tymbal;
namespace fs = std::filesystem;

namespace {

const std::string text = R"(title = "Kept"   # and its comment

[film]
material  = "nitride-stoichiometric"
thickness = "100 +- 2 nm"      # as deposited
poisson_ratio = 0.25

[outline]
shape  = "rectangle"
width  = "120.0 +- 0.3 um"     # along x
height = "0.12 mm"

[holes]
lattice  = "square"
diameter = "2 um"
pitch    = "5 um"
)";

std::string changed(const Changes& changes) {
    const fs::path file = fs::temp_directory_path() / ("tymbal-changed-" + std::to_string(::getpid()) + ".toml");
    std::ofstream(file) << text;
    const std::string result = changed_design(file.string(), changes, sample::table());
    fs::remove(file);
    return result;
}

}  // namespace

TEST_SUITE("unit") {
    TEST_CASE("a changed value keeps its deviation and comment, and nothing else moves") {
        std::string expected = text;
        const std::string width = "width  = \"120.0 +- 0.3 um\"     # along x";
        expected.replace(expected.find(width), width.size(), "width  = \"101.5 +- 0.3 um\"  # along x");
        CHECK(changed({{"outline.width", 101.5e-6}}) == expected);
        CHECK(changed({{"outline.height", 90e-6}}).find("height = \"90 um\"\n") != std::string::npos);
        CHECK(changed({{"film.thickness", 80e-9}}).find("\"0.08 +- 0.002 um\"  # as deposited") != std::string::npos);
        CHECK(changed({{"film.poisson_ratio", 0.27}}).find("poisson_ratio = 0.27\n") != std::string::npos);
        CHECK(changed({{"holes.lattice", "triangular"}}).find("lattice  = \"triangular\"\n") != std::string::npos);
        CHECK(changed({}) == text);
    }

    TEST_CASE("a key left to its default gets a line of its own; what cannot be put in is refused") {
        CHECK(changed({{"holes.margin", 4e-6}}).find("[holes]\nmargin = \"4 um\"\n") != std::string::npos);
        CHECK_THROWS_WITH_AS(changed({{"outline.scale", 2.0}}),
                             doctest::Contains(".toml: outline.scale: stands for many lengths"), InputError);
        CHECK_THROWS_WITH_AS(
            changed({{"release.gap", 2e-6}}),
            doctest::Contains(".toml: release.gap: has no section to be put in; give it one that begins "
                              "with a line [release]"),
            InputError);
        CHECK_THROWS_AS(changed({{"holes.diameter", 9e-6}}), InputError);  // larger than the pitch
    }
}

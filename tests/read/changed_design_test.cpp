// Answers put back into the design file: new values, everything else as it was written.
#include "support/designs.h"

#include "tymbal/base/error.h"
#include "tymbal/read/changed_design.h"

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

std::string changed(const Changes& changes, const std::string& before = text) {
    const fs::path file = fs::temp_directory_path() / ("tymbal-changed-" + std::to_string(::getpid()) + ".toml");
    std::ofstream(file, std::ios::binary) << before;
    const std::string result = changed_design(file.string(), changes, sample::table());
    fs::remove(file);
    return result;
}

/// The text with one piece exchanged, which must be there.
std::string with(const std::string& piece, const std::string& other, std::string in = text) {
    REQUIRE(in.find(piece) != std::string::npos);
    return in.replace(in.find(piece), piece.size(), other);
}

std::string crlf(const std::string& lines) {
    std::string out;
    for (const char c : lines) out.append(c == '\n' ? "\r\n" : std::string(1, c));
    return out;
}

}  // namespace

TEST_SUITE("unit") {
    TEST_CASE("a changed value keeps its deviation and comment, and nothing else moves") {
        CHECK(changed({{"outline.width", 101.5e-6}}) == with("120.0 +- 0.3 um", "101.5 +- 0.3 um"));
        CHECK(changed({{"outline.height", 90e-6}}).find("height = \"90 um\"\n") != std::string::npos);
        CHECK(changed({{"film.thickness", 80e-9}}).find("\"80 +- 2 nm\"      # as deposited") != std::string::npos);
        CHECK(changed({{"film.poisson_ratio", 0.27}}).find("poisson_ratio = 0.27\n") != std::string::npos);
        CHECK(changed({{"holes.lattice", "triangular"}}).find("lattice  = \"triangular\"\n") != std::string::npos);
        CHECK(changed({}) == text);
    }

    TEST_CASE("stress was written as 800001246 Pa, and its deviation in another unit than before") {
        const std::string stressed = with("poisson_ratio = 0.25", "stress = \"1.00 +- 0.03 GPa\"");
        const auto stress = [&](double pa) {
            const std::string after = changed({{"film.stress", pa}}, stressed);
            const std::size_t at = after.find("stress = \"") + 10;
            return after.substr(at, after.find('"', at) - at);
        };
        CHECK(stress(800001246.0) == "800.0012 +- 30 MPa");
        CHECK(stress(1.1e9) == "1.1 +- 0.03 GPa");
        CHECK(changed({{"film.thickness", 33.7766e-9}}).find("\"33.7766 +- 2 nm\"") != std::string::npos);
        CHECK(changed({{"holes.angle", 0.5235987755982988}}).find("angle = \"30 deg\"") != std::string::npos);
    }

    TEST_CASE("a key left to its default gets a line of its own; what cannot be put in is refused") {
        CHECK(changed({{"holes.margin", 4e-6}}).find("[holes]\nmargin = \"4 um\"\n") != std::string::npos);
        CHECK_THROWS_WITH_AS(changed({{"outline.scale", 2.0}}),
                             doctest::Contains(".toml: outline.scale: stands for many lengths"), InputError);
        CHECK(changed({{"solve.accuracy", 1e-4}}) == text + "\n[solve]\naccuracy = 1e-04\n");
        CHECK_THROWS_AS(changed({{"holes.diameter", 9e-6}}), InputError);  // larger than the pitch
    }

    TEST_CASE("a deviation in single quotes was dropped, and the quotes with it") {
        const std::string single = with("\"120.0 +- 0.3 um\"", "'120.0 +- 0.3 um'");
        CHECK(changed({{"outline.width", 101.5e-6}}, single) == with("120.0", "101.5", single));
        const std::string three = with("\"120.0 +- 0.3 um\"", "\"\"\"120.0 \\u00B1 0.3 um\"\"\"");
        CHECK(changed({{"outline.width", 101.5e-6}}, three) == with("120.0 \\u00B1 0.3", "101.5 +- 0.3", three));
    }

    TEST_CASE("quoted and dotted keys and tables in braces ended in no valid TOML or were not found") {
        const std::string quoted = with("width  =", "\"width\" =", with("[outline]", "[ 'outline' ]  # shape"));
        CHECK(changed({{"outline.width", 101.5e-6}}, quoted) == with("120.0", "101.5", quoted));
        const std::string film =
            "[film]\nmaterial  = \"nitride-stoichiometric\"\nthickness = \"100 +- 2 nm\"      "
            "# as deposited\npoisson_ratio = 0.25\n";
        const std::string dotted = with(film,
                                        "film.material = \"nitride-stoichiometric\"\nfilm . thickness = '100 +- 2 "
                                        "nm' # [not] = \"a key\"\n");
        CHECK(changed({{"film.thickness", 80e-9}}, dotted) == with("100 +- 2 nm", "80 +- 2 nm", dotted));
        CHECK(changed({{"film.stress", 9e8}}, dotted).find("film.stress = \"900 MPa\"\n") != std::string::npos);
        const std::string braces =
            with(film, "film = { material = \"nitride-stoichiometric\", thickness = \"100 +- 2 nm\" }\n");
        CHECK(changed({{"film.thickness", 80e-9}}, braces) == with("100 +- 2 nm", "80 +- 2 nm", braces));
        CHECK(changed({{"film.poisson_ratio", 0.27}}, braces).find("nm\", poisson_ratio = 0.27 }\n") !=
              std::string::npos);
        const std::string foreign = with("[film]", "[[film.layer]]\nthickness = \"1 nm\"\n#[film]\n[film]");
        CHECK_THROWS_AS(changed({}, foreign), InputError);  // no TOML: a list of tables comes after its table
    }

    TEST_CASE("line ends came out mixed: each line keeps its own, and new ones are like the first") {
        const std::string windows = crlf(text);
        CHECK(changed({{"outline.width", 101.5e-6}}, windows) == with("120.0", "101.5", windows));
        CHECK(changed({{"holes.margin", 4e-6}}, windows) ==
              with("[holes]\r\n", "[holes]\r\nmargin = \"4 um\"\r\n", windows));
        CHECK(changed({{"solve.accuracy", 1e-4}}, windows) == windows + "\r\n[solve]\r\naccuracy = 1e-04\r\n");
        const std::string open = text.substr(0, text.size() - 1);  // no end of the last line
        CHECK(changed({{"holes.pitch", 6e-6}}, open) == with("\"5 um\"", "\"6 um\"", open));
    }

    TEST_CASE("a list over several lines lost its comments, lines and quotes") {
        const std::string field = text + "field = [ # asked\n  '80 um',  # along 'x'\n  \"60 um\"\n]\n";
        CHECK(changed({{"holes.field", std::array<double, 2>{90e-6, 67.5e-6}}}, field) ==
              with("'80 um'", "'90 um'", with("60 um", "67.5 um", field)));
    }

    TEST_CASE("lists keep their lines and quotes, and one of another length is written whole") {
        const std::string field = text + "field = ['80 um', '60 um']  # asked\n";
        CHECK(changed({{"holes.field", std::array<double, 2>{90e-6, 67.5e-6}}}, field) ==
              with("['80 um', '60 um']", "['90 um', '67.5 um']", field));
        const std::vector<Point> corners{{0.0, 0.0}, {1e-4, 0.0}, {0.0, 1e-4}};
        const std::string polygon =
            "[film]\nmaterial = \"nitride-stoichiometric\"\nthickness = \"100 nm\"\n"
            "[outline]\nshape = \"polygon\"\nvertices = [[\"0 um\", \"0 um\"],  # first\n"
            "  [\"1 um\", \"0 um\"], [\"0 um\", \"1 um\"]]  # last\n";
        CHECK(changed({{"outline.vertices", corners}}, polygon) ==
              with("[\"1 um\", \"0 um\"], [\"0 um\", \"1 um\"]", "[\"100 um\", \"0 um\"], [\"0 um\", \"100 um\"]",
                   polygon));
        const std::vector<Point> four{{0.0, 0.0}, {1e-4, 0.0}, {1e-4, 1e-4}, {0.0, 1e-4}};
        CHECK(
            changed({{"outline.vertices", four}}, polygon)
                .find("vertices = [[\"0 um\", \"0 um\"], [\"100 um\", \"0 um\"], [\"100 um\", \"100 um\"], [\"0 um\", "
                      "\"100 um\"]]  # last\n") != std::string::npos);
    }

    TEST_CASE("an opening is named by its number, and one that is not there yet is added below the others") {
        const std::string slit =
            "\n[[openings]]   # left\nshape = \"rectangle\"\nwidth = \"20 um\"  # across\nheight = \"8 um\"\n"
            "[[openings]]\nshape = 'circle'\ndiameter = '6 um'\ncentre = ['30 um', '0 um']\n";
        const std::string before = text.substr(0, text.find("\n[holes]")) + slit;
        CHECK(changed({{"openings.1.width", 25e-6}}, before) ==
              with("\"20 um\"  # across", "\"25 um\"  # across", before));
        CHECK(changed({{"openings.2.diameter", 7e-6}}, before) == with("'6 um'", "'7 um'", before));
        CHECK(changed({{"openings.2.angle", "10 deg"}}, before) ==
              with("shape = 'circle'", "angle = \"10 deg\"\nshape = 'circle'", before));
        CHECK(changed({{"openings.3.diameter", "5 um"}, {"openings.3.shape", "circle"}}, before) ==
              before + "\n[[openings]]\nshape = \"circle\"\ndiameter = \"5 um\"\n");
        CHECK_THROWS_AS((void)changed({{"openings.4.diameter", 7e-6}}, before), InputError);
    }
}

// Each broken design ends in an InputError that names the line and the key and says what is accepted.
#include "broken_designs.h"
#include "support/parse_device.h"
#include "support/places.h"
#include "tymbal/base/error.h"
#include "tymbal/read/design.h"
#include "tymbal/read/read_materials.h"

#include <doctest/doctest.h>

#include <string>

using namespace tymbal;

namespace {

const Materials& table() {
    static const Materials materials = read_materials(places::source_dir() + "/materials");
    return materials;
}

}  // namespace

TEST_SUITE("unit") {
    using namespace broken;

    TEST_CASE(
        "more holes than the user allows are refused before any front is drawn, and the message says how to allow "
        "them") {
        const std::string field =
            "[outline]\nshape = \"hole-field\"\n[holes]\nlattice = \"square\"\ndiameter = \"2 um\"\npitch "
            "= \"5 um\"\nfield = [\"100 um\", \"100 um\"]\n";
        const std::string etch = "[release]\ngap = \"1 um\"\nundercut = \"3 um\"\n";
        ReadLimits few;
        few.most_holes = 300;
        for (const std::string& outline : {field, square + holes}) {
            CHECK_THROWS_WITH_AS((void)parse_device(film + outline + etch, "d.toml", table(), {}, few),
                                 doctest::Contains("(most_holes)"), InputError);
            CHECK_NOTHROW((void)parse_device(film + outline + etch, "d.toml", table()));
        }
        CHECK_NOTHROW((void)parse_device(film + square + holes, "d.toml", table(), {}, few));  // nothing to draw
    }

    TEST_CASE("an etch that takes the film off from above is refused without drawing its fronts") {
        const std::string text =
            film +
            "[outline]\nshape = \"hole-field\"\n[holes]\nlattice = \"square\"\ndiameter = \"2 um\"\npitch = "
            "\"5 um\"\nfield = [\"500 um\", \"500 um\"]\n[release]\ngap = \"1 um\"\nundercut = \"1 cm\"\n"
            "sacrificial = \"oxide-thermal\"\netchant = \"buffered-hf-5to1\"\n";
        CHECK_THROWS_WITH_AS((void)parse_device(text, "d.toml", table()),
                             doctest::Contains("release.undercut: takes so long in this etchant"), InputError);
    }

    TEST_CASE("every broken design is refused with line, key and cure") {
        for (const Broken& b : broken_designs()) {
            CAPTURE(std::string(b.what));
            std::string message;
            try {
                (void)parse_device(b.text, "d.toml", table());
            } catch (const InputError& e) {
                message = e.what();
            }
            CAPTURE(message);
            CHECK(message.find(b.place) != std::string::npos);
            CHECK(message.find(b.hint) != std::string::npos);
            CHECK(message.find('\n') == std::string::npos);
        }
    }

    TEST_CASE("what a design needs from a material table that lacks it is asked for, with the key and the cure") {
        const auto refused = [](const Materials& materials, const std::string& text, const char* words) {
            CAPTURE(words);
            CHECK_THROWS_WITH_AS((void)parse_device(text, "d.toml", materials), doctest::Contains(words), InputError);
        };
        Materials poor = table();
        poor.solids.at("gold").density.reset();
        refused(
            poor, film + layer + square,
            "d.toml:6: film.layer.material: is 'gold', a row without modulus, Poisson's ratio, density or expansion; "
            "choose another");
        poor.solids.at("silicon").thermal_expansion.reset();
        CHECK_NOTHROW((void)parse_device(film + square, "d.toml", poor));
        refused(poor, film + "temperature = \"4 K\"\n" + square,
                "d.toml:5: film.temperature: needs the chip's thermal");
        refused(poor, film + "stress_temperature = \"4 K\"\n" + square,
                "d.toml:5: film.stress_temperature: needs the chip's thermal");
        poor.solids.erase("silicon");
        refused(poor, film + square, "d.toml: chip.material: is missing");
        CHECK_NOTHROW((void)parse_device(
            film + square + "[chip]\nthickness = \"525 um\"\nmaterial = \"oxide-thermal\"\n", "d.toml", poor));
    }

    TEST_CASE("a file that is not there, or is a folder, is an input error") {
        CHECK_THROWS_AS((void)as_released(read_design("/no/such/design.toml"), table()), InputError);
        // A list that --modes is to replace: the message names the file, not only the key.
        CHECK_THROWS_WITH_AS(
            (void)parse_device(film + square + "[solve]\nmodes = []\n", "d.toml", table(), {{"solve.modes", 3.0}}),
            doctest::Contains("d.toml:10: solve.modes: is a list"), InputError);
        CHECK_THROWS_AS((void)as_released(read_design(places::source_dir()), table()), InputError);
    }
}

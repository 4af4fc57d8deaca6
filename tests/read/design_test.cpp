// A design is a value: made in code or read, changed by copies, compared, checked only when a device is made of it.
#include "tymbal/read/design.h"

#include "support/approx.h"
#include "support/designs.h"

#include "tymbal/base/error.h"
#include "tymbal/base/literals.h"
#include "tymbal/read/design_keys.h"

#include <doctest/doctest.h>

using namespace tymbal;
using namespace tymbal::literals;
using sample::Approx;

namespace {

const std::string square_text = sample::film("100 +- 2 nm") + sample::square("120 um");
const std::string opening_text = "[[openings]]\nshape = \"rectangle\"\nwidth = \"20 um\"\nheight = \"8 um\"\n";

Design read(const std::string& text) {
    return parse_design(text, "d.toml");
}

Device released(const Design& design) {
    return as_released(design, sample::table());
}

/// What InputError says about a design in code.
InputError refused(const Design& design) {
    try {
        check(design, sample::table());
    } catch (const InputError& e) {
        return e;
    }
    FAIL("the design was taken");
    return {{}, "", ""};
}

Design drum() {
    return Design{}.with({{"outline.diameter", 200_um},
                          {"outline.shape", "disc"},
                          {"film.thickness", 100_nm},
                          {"film.stress", "1.00 +- 0.03 GPa"},
                          {"film.material", "nitride-stoichiometric"}});
}

}  // namespace

TEST_SUITE("unit") {
    TEST_CASE("a design put together in code is the design of the file that says the same") {
        const Device coded = released(drum());
        const Device written = released(read(
            "[film]\nmaterial = \"nitride-stoichiometric\"\nthickness = \"100 nm\"\nstress = \"1.00 +- 0.03 GPa\"\n"
            "[outline]\nshape = \"disc\"\ndiameter = \"200 um\"\n"));
        CHECK(coded.film.thickness.si() == Approx(written.film.thickness.si()));
        CHECK(coded.film.stress.deviation_si() == written.film.stress.deviation_si());
        CHECK(std::get<Disc>(coded.outline).diameter.si() == Approx(200e-6));
        CHECK(coded.sha256.empty());
        CHECK(written.sha256.size() == 64);
    }

    TEST_CASE("copies are independent, and equal when all their keys are") {
        const Design a = read(square_text);
        const Design b = a.with({{"film.thickness", 50_nm}});
        CHECK(a.number("film.thickness")->value == Approx(100e-9));
        CHECK(b.number("film.thickness")->value == Approx(50e-9));
        CHECK(b.number("film.thickness")->deviation == Approx(2e-9));  // stays
        CHECK_FALSE(a == b);
        CHECK(a == read("# a remark\n" + square_text));
        CHECK(b == a.with({{"film.thickness", 50_nm}}));
        CHECK(Design{} == Design{});
        CHECK(Design{} == drum().without("film").without("outline"));
    }

    TEST_CASE("a number keeps the deviation that stands there unless it brings its own") {
        const auto deviation = [](const ChangedValue& value) {
            return read(square_text).with({{"film.thickness", value}}).number("film.thickness")->deviation;
        };
        CHECK(deviation(90_nm) == Approx(2e-9));
        CHECK(deviation({90_nm, 3_nm}) == Approx(3e-9));
        CHECK(deviation({90_nm, 0_nm}) == 0.0);
        CHECK(deviation("90 +- 4 nm") == Approx(4e-9));
        CHECK_FALSE(read(square_text).with({{"film.thickness", "90 nm"}}).number("film.thickness")->has_deviation);
    }

    TEST_CASE("keys can be looked up as they are written, and taken out") {
        const Design d = read(square_text + "[solve]\nmodes = 3\n");
        CHECK(d.has("film"));
        CHECK(d.has("film.thickness"));
        CHECK_FALSE(d.has("readout"));
        CHECK_FALSE(d.has("film.temperature"));  // a default is not written
        CHECK(d.number("film.poisson_ratio")->value == 0.25);
        CHECK(d.number("solve.modes")->value == 3.0);
        CHECK_FALSE(d.number("film.material").has_value());
        CHECK(d.text("film.material") == "nitride-stoichiometric");
        CHECK_FALSE(d.without("solve.modes").has("solve.modes"));
        CHECK(d.without("readout") == d);
        CHECK_THROWS_AS((void)d.has("film.thicknes"), InputError);
        CHECK_THROWS_AS((void)d.without("film.thicknes"), InputError);
        CHECK_THROWS_WITH_AS((void)d.without("readuot"), doctest::Contains("'readout'"), InputError);
    }

    TEST_CASE("a design made in code that cannot be built is refused with its key, and without a place") {
        const Design holes =
            drum().with({{"holes.lattice", "square"}, {"holes.diameter", 5_um}, {"holes.pitch", 4_um}});
        CHECK(refused(holes).key() == "holes.pitch");
        CHECK(refused(holes).place().file.empty());
        CHECK(std::string(refused(holes).what()).rfind("holes.pitch: ", 0) == 0);
        CHECK(refused(drum().with({{"film.thickness", -(100_nm).si()}})).key() == "film.thickness");
        CHECK(refused(drum().without("film.thickness")).key() == "film.thickness");
        CHECK(refused(drum().without("film")).key() == "film");
        CHECK(refused(Design{}).key() == "film");
    }

    TEST_CASE("an error of a design that was read keeps file, line, key and message apart") {
        const InputError e = refused(read(square_text + "[holes]\nlattice = \"squar\"\n"));
        CHECK(e.place().file == "d.toml");
        CHECK(e.place().line == 13);
        CHECK(e.key() == "holes.lattice");
        CHECK(e.message().rfind("is 'squar'", 0) == 0);
        CHECK(std::string(e.what()) == "d.toml:13: holes.lattice: " + e.message());
    }

    TEST_CASE("a quantity of another kind does not fit a key") {
        CHECK_THROWS_WITH_AS((void)drum().with({{"film.thickness", 1_GPa}}), doctest::Contains("a length"), InputError);
        CHECK_THROWS_WITH_AS((void)drum().with({{"film.material", 1_um}}), doctest::Contains("a name"), InputError);
        CHECK_THROWS_AS((void)drum().with({{"film.thicknes", 100_nm}}), InputError);
        CHECK(refused(drum().with({{"film.thickness", "1 GPa"}})).key() == "film.thickness");
    }

    TEST_CASE("a list holds what its key holds: quantities of its kind, sites, names, or all of it as a file has it") {
        const auto text_with = [](const Change& change) { return toml_text(drum().with({change})); };
        CHECK(text_with({"limits.frequency", std::array<double, 2>{1e6, 2e6}}).find("2e+06 Hz") != std::string::npos);
        CHECK(text_with({"chip.position", std::array<double, 2>{0.5, 1.0}}).find("0.5 m") != std::string::npos);
        const Design holes = drum().with({{"holes.omit", std::vector<Point>{{0.0, 1.0}, {-2.0, 0.0}}}});
        CHECK(holes == drum().with({{"holes.omit", "[[0, 1], [-2, 0]]"}}));
        CHECK(text_with({"chip.held", "['left']"}).find("\"left\"") != std::string::npos);
        CHECK(drum().with({{"title", "[1]"}}).text("title") == "[1]");
        for (const Change& wrong : Changes{{"holes.omit", std::vector<Point>{{0.5, 1.0}}},
                                           {"holes.omit", "[[0, 1]"},
                                           {"holes.omit", "[[0, 1]]\n[film]"},
                                           {"chip.held", std::array<double, 2>{1.0, 0.1}},
                                           {"holes.field", {200_um, 1_um}}}) {
            CAPTURE(wrong.key);
            CHECK_THROWS_AS((void)drum().with({wrong}), InputError);
        }
        CHECK(refused(drum().with({{"limits.frequency", "['1 um', '2 um']"}})).key() == "limits.frequency");
    }

    TEST_CASE("every kind of the key table has a dimension, and its SI unit reads back as one of it") {
        for (const DesignKey& key : design_keys()) {
            if (!key.kind) continue;
            CAPTURE(key.name);
            CHECK(parse_quantity("1 " + si_unit(*key.kind), *key.kind).value == 1.0);
            (void)dimension_of(*key.kind);
        }
        CHECK(dimension_of(Kind::speed) == Dimension{1, 0, -1, 0});
        CHECK(dimension_of(Kind::pressure) == dimension_of(Kind::stress));
    }

    TEST_CASE("the text of a design reads back as the same design, whatever was changed in code") {
        const Design design = read(square_text + opening_text)
                                  .with({{"film.thickness", {0.1_um / 3.0, 1_nm}},
                                         {"openings.1.width", 1e-5 / 3.0},
                                         {"film.poisson_ratio", 0.23},
                                         {"title", "A \"quoted\" title, # and all"}});
        const Design again = read(toml_text(design));
        for (const char* key : {"film.thickness", "film.stress", "openings.1.width", "openings.1.height"}) {
            CAPTURE(key);
            REQUIRE(again.number(key));
            CHECK(again.number(key)->value == design.number(key)->value);
            CHECK(again.number(key)->deviation == design.number(key)->deviation);
        }
        CHECK(again.text("title") == design.text("title"));
        CHECK(again == read(toml_text(again)));
    }

    TEST_CASE("openings are counted from 1, and the next one is added") {
        const Design one = read(square_text + opening_text);
        CHECK(one.number("openings.1.width")->value == Approx(20e-6));
        const Design two = one.with({{"openings.1.width", 30_um},
                                     {"openings.2.shape", "circle"},
                                     {"openings.2.diameter", 5_um},
                                     {"openings.2.centre", std::array<double, 2>{0.0, 30e-6}}});
        CHECK(released(one).openings.size() == 1);
        REQUIRE(released(two).openings.size() == 2);
        CHECK(released(two).openings[1].narrowest == Approx(5e-6));
        CHECK_THROWS_WITH_AS((void)one.with({{"openings.3.width", 1_um}}), doctest::Contains("there are 1"),
                             InputError);
        CHECK_THROWS_WITH_AS((void)one.with({{"openings.width", 1_um}}), doctest::Contains("openings.1.width"),
                             InputError);
        CHECK_THROWS_AS((void)one.with({{"film.1.thickness", 1_um}}), InputError);
        CHECK_FALSE(one.number("openings.2.width").has_value());
    }
}

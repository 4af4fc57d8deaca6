#include "support/approx.h"
#include "tymbal/base/error.h"
#include "tymbal/base/nearest.h"
#include "tymbal/base/parse_quantity.h"
#include "tymbal/base/sourced.h"

#include <doctest/doctest.h>

#include <string>

using namespace tymbal;

namespace {

std::string refusal(const char* text, Kind kind) {
    try {
        (void)parse_quantity(text, kind);
    } catch (const UnitError& e) {
        return e.what();
    }
    return "";
}

template <class A, class B>
concept Addable = requires(A a, B b) {
    a + b;
};

}  // namespace

TEST_SUITE("unit") {
    TEST_CASE("dimensions multiply and divide, and unlike ones do not add") {
        static_assert(std::is_same_v<decltype(Stress{} * Length{}), Tension>);
        static_assert(std::is_same_v<decltype(Density{} * Length{}), ArealDensity>);
        static_assert(Addable<Length, Length>);
        static_assert(!Addable<Length, Stress>);
        CHECK((Stress::from_si(1e9) * Length::from_si(1e-7)).si() == sample::Approx(100.0));
    }

    TEST_CASE("a quantity is read with its unit and uncertainty") {
        const ParsedQuantity q = parse_quantity("1.00 +- 0.03 GPa", Kind::stress);
        CHECK(q.value == sample::Approx(1e9));
        CHECK(q.deviation == sample::Approx(3e7));
        CHECK(parse_quantity("1.00 ± 0.03 GPa", Kind::stress).deviation == sample::Approx(3e7));
        CHECK(parse_quantity("120um", Kind::length).value == sample::Approx(120e-6));
        CHECK(parse_quantity("-3.5e2 MPa", Kind::stress).value == sample::Approx(-3.5e8));
        CHECK(parse_quantity("22 degC", Kind::temperature).value == sample::Approx(295.15));
        CHECK(parse_quantity("1 atm", Kind::pressure).value == 101325.0);  // definition of the standard atmosphere
        CHECK(parse_quantity("760 Torr", Kind::pressure).value == sample::Approx(101325.0));
        CHECK(parse_quantity("5 %", Kind::ratio).value == sample::Approx(0.05));
        CHECK_FALSE(parse_quantity("5 nm", Kind::length).has_deviation);
    }

    TEST_CASE("a deviation may follow the unit, with a unit of its own or as a share") {
        CHECK(parse_quantity("1.00 GPa +- 3 %", Kind::stress).deviation == sample::Approx(3e7));
        CHECK(parse_quantity("1.00 +- 3 % GPa", Kind::stress).deviation == sample::Approx(3e7));
        CHECK(parse_quantity("-200 MPa +- 5%", Kind::stress).deviation == sample::Approx(1e7));
        CHECK(parse_quantity("100 nm +- 3 nm", Kind::length).deviation == sample::Approx(3e-9));
        CHECK(parse_quantity("1 um \u00b1 3 nm", Kind::length).deviation == sample::Approx(3e-9));
        CHECK(parse_quantity("20 % +- 1 %", Kind::ratio).deviation == sample::Approx(0.01));
        CHECK(parse_quantity("20 +- 1 %", Kind::ratio).deviation ==
              sample::Approx(0.01));  // as before: per cent of one
        CHECK_FALSE(refusal("20 degC +- 3 %", Kind::temperature).empty());
        CHECK_FALSE(refusal("1 GPa +- 3 % GPa", Kind::stress).empty());
        CHECK_FALSE(refusal("1 GPa +- 3 nm", Kind::stress).empty());
        CHECK_FALSE(refusal("1 +- 3 %", Kind::stress).empty());
    }

    TEST_CASE("units as practitioners spell them are known, angstroms and decimal commas explained") {
        CHECK(parse_quantity("1e10 dyn/cm^2", Kind::stress).value == sample::Approx(1e9));  // 1 dyn/cm^2 is 0.1 Pa
        CHECK(parse_quantity("760 torr", Kind::pressure).value == sample::Approx(101325.0));
        CHECK(parse_quantity("1 hPa", Kind::pressure).value == sample::Approx(100.0));
        CHECK(parse_quantity("3 \u03bcm", Kind::length).value == sample::Approx(3e-6));  // Greek mu
        CHECK(refusal("500 A", Kind::length).find("ten of them are 1 nm") != std::string::npos);
        CHECK(refusal("0,1 um", Kind::length).find("as in '0.1 um'") != std::string::npos);
        CHECK(refusal("0,100 +- 0,002 um", Kind::length).find("the decimal sign is a point") != std::string::npos);
    }

    TEST_CASE("letters of the wrong case led to another unit: GPa for mpa, nm for MM") {
        struct Slip {
            const char* text;
            Kind kind;
            const char* unit;
        };
        for (const Slip& slip : {Slip{"900 mpa", Kind::stress, "MPa"},
                                 {"0.5 MM", Kind::length, "mm"},
                                 {"10 Mm", Kind::length, "mm"},
                                 {"1.064 Um", Kind::length, "um"},
                                 {"150 UM", Kind::length, "um"},
                                 {"1 mhz", Kind::frequency, "MHz"}}) {
            CAPTURE(slip.text);
            const std::string hint = std::string("did you mean '").append(slip.unit).append("'");
            CHECK(refusal(slip.text, slip.kind).find(hint) != std::string::npos);
        }
    }

    TEST_CASE("a number with a comma and a point was mended to 1.000.5, and of two commas only one") {
        CHECK(refusal("1.000,5 nm", Kind::length).find("as in '1000.5 nm'") != std::string::npos);
        CHECK(refusal("1,000.5 nm", Kind::length).find("as in '1000.5 nm'") != std::string::npos);
        CHECK(refusal("1,000,000 nm", Kind::length).find("as in '1000000 nm'") != std::string::npos);
        CHECK(refusal("0,9 GPa +- 0,03 GPa", Kind::stress).find("as in '0.9 GPa +- 0.03 GPa'") != std::string::npos);
        CHECK(refusal("0.9 +- 0,03 GPa", Kind::stress).find("as in '0.9 +- 0.03 GPa'") != std::string::npos);
    }

    TEST_CASE("a wrong dimension is named together with what is accepted") {
        const std::string text = refusal("50 GPa", Kind::length);
        CHECK(text.find("'50 GPa'") != std::string::npos);
        CHECK(text.find("a stress where a length is wanted") != std::string::npos);
        CHECK(text.find("nm, um") != std::string::npos);
    }

    TEST_CASE("bare numbers, unknown units and broken numbers are refused") {
        CHECK(refusal("50", Kind::length).find("a unit is needed") != std::string::npos);
        CHECK(refusal("50 nmm", Kind::length).find("did you mean 'nm'") != std::string::npos);
        for (const char* text : {"", "nm", "nan nm", "inf nm", "1e400 nm", "1e308 GPa", "--3 nm", "1,5 nm", "0x10 nm",
                                 "1 +- nm", "1 +- -2 nm", "1 +- 2 +- 3 nm", "1 2 nm", "1 nm nm", "1 mpa"})
            CHECK_MESSAGE(!refusal(text, Kind::length).empty(), text);
        CHECK_FALSE(refusal("1 mPa", Kind::stress).empty());  // milli is not mega
    }

    TEST_CASE("a value without a source cannot be built") {
        CHECK_THROWS_AS(Sourced<Length>(Length{}, Length{}, {"", Origin::table}), std::invalid_argument);
        CHECK_THROWS_AS(Sourced<Length>(Length{}, Length::from_si(-1.0), {"x", Origin::table}), std::invalid_argument);
    }

    TEST_CASE("an error says file, line and key") {
        CHECK(std::string(InputError({"a.toml", 7}, "film.stress", "is odd").what()) ==
              "a.toml:7: film.stress: is odd");
        CHECK(std::string(InputError({"a.toml", 0}, "", "is odd").what()) == "a.toml: is odd");
        CHECK(std::string(InputError({}, "row", "is odd").what()) == "row: is odd");
    }

    TEST_CASE("the nearest name is offered, and none when all are far") {
        CHECK(nearest("thicknes", {"stress", "thickness"}) == "thickness");
        CHECK(nearest("zzzzzzzz", {"stress", "thickness"}).empty());
        CHECK(suggestion("pich", {"pitch"}) == " (did you mean 'pitch'?)");
    }
}

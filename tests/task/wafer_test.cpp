// The film of a bent wafer: what it warns of, and what a forecast per die cannot do.
#include "tymbal/task/wafer.h"
#include "support/approx.h"

#include "support/designs.h"
#include "tymbal/base/error.h"
#include "tymbal/read/read_wafer.h"

#include <doctest/doctest.h>

#include <algorithm>

using namespace tymbal;

namespace {

/// 0.012 per metre is a gigapascal of 100 nm on 525 um of silicon.
Wafer bent(const std::string& curvature, const std::string& thickness, const std::string& dies = "") {
    return parse_wafer(
        "[film]\nmaterial = \"nitride-stoichiometric\"\nthickness = \"100 +- 1 nm\"\n[wafer]\n"
        "thickness = \"" +
            thickness +
            "\"\n[shape]\ncurvature_before = \"0 1/m\"\n"
            "curvature_after = \"" +
            curvature + "\"\nfilms_before = \"none\"\nfilms_after = \"front\"\n" + dies,
        "w.toml", sample::table());
}

std::string die(const char* name, const char* rest) {
    return std::string("[[die]]\nname = \"") + name + "\"\nat = [\"0 mm\", \"0 mm\"]\n" + rest;
}

std::string codes(const WaferFilm& film) {
    std::string all;
    for (const Warning& w : film.warnings) all += w.code + " ";
    return all;
}

}  // namespace

TEST_SUITE("unit") {
    TEST_CASE("a wafer warns of what makes its stress doubtful, and of nothing else") {
        const auto warned = [](const Wafer& wafer) { return codes(film_of_wafer(wafer, sample::table())); };
        CHECK(warned(bent("0.012 1/m", "525 +- 5 um")).empty());
        CHECK(warned(bent("0.012 1/m", "525 um")) == "exact-wafer ");
        CHECK(warned(bent("0.012 +- 0.003 1/m", "525 +- 5 um")) == "wide-stress ");
        CHECK(warned(bent("0.12 1/m", "525 +- 5 um")) == "stress-size ");  // ten gigapascal
        CHECK(warned(bent("0.012 1/m", "525 +- 5 um",
                          die("a", "thickness = \"120 +- 1 nm\"\n") + die("b", "thickness = \"121 +- 1 nm\"\n"))) ==
              "thickness-apart ");
    }

    TEST_CASE("indices of all dies become the film's, with their scatter") {
        Wafer w = bent("0.012 1/m", "525 +- 5 um");
        const Source test{"test", Origin::design};
        const auto indexed = [&](double n) {
            return Die{"d",
                       {},
                       {Length::from_si(100e-9), Length{}, test},
                       Sourced<Ratio>(Ratio::from_si(n), Ratio{}, test),
                       {}};
        };
        w.dies = {indexed(1.99), indexed(2.01)};
        const WaferFilm film = film_of_wafer(w, sample::table());
        CHECK(film.index.value() == sample::Approx(2.0));
        CHECK(film.index_std.value() > 0.0);
        w.dies[1].index.reset();  // one without: the wafer's own stands, and it has none
        CHECK_FALSE(film_of_wafer(w, sample::table()).index);
    }

    TEST_CASE("layers that came in between are listed with their sources") {
        const WaferFilm film = film_of_wafer(
            bent("0.012 1/m", "525 +- 5 um",
                 "[[layer]]\nname = \"oxide\"\nthickness = \"50 nm\"\nstress = \"-300 MPa\"\nfilms_before = "
                 "\"none\"\nfilms_after = \"back\"\n"),
            sample::table());
        for (const char* line : {"oxide thickness", "oxide stress"})
            CHECK(std::any_of(film.sources.begin(), film.sources.end(),
                              [&](const SourceLine& s) { return s.quantity == line; }));
    }

    TEST_CASE("a wafer or film of a row without elastic constants has no stress, and the row is named") {
        Materials own = sample::table();
        own.solids.at("nitride-stoichiometric").youngs_modulus.reset();
        CHECK_THROWS_WITH_AS((void)film_of_wafer(bent("0.012 1/m", "525 +- 5 um"), own),
                             doctest::Contains("'nitride-stoichiometric' has no elastic constants"), NoAnswer);
        own = sample::table();
        own.solids.at("silicon").crystal.reset();
        own.solids.at("silicon").poisson_ratio.reset();
        CHECK_THROWS_WITH_AS((void)film_of_wafer(bent("0.012 1/m", "525 +- 5 um"), own),
                             doctest::Contains("'silicon' has no elastic constants"), NoAnswer);
    }

    TEST_CASE("what a forecast per die cannot do is said") {
        const Wafer w =
            bent("0.012 1/m", "525 +- 5 um", die("a", "thickness = \"100 +- 1 nm\"\nstress = \"-1 GPa\"\n"));
        const std::string film = sample::film("100 nm"), rest = sample::square("100 um") + "[solve]\nmodes = 1\n";
        const auto forecast = [&](const std::string& text, const std::string& label) {
            WaferFilm f = film_of_wafer(w, sample::table());
            add_forecast(w, sample::design(text), label, f);
        };
        const std::string layer =
            "[[film.layer]]\nmaterial = \"aluminium\"\nthickness = \"20 nm\"\nstress = \"50 MPa\"\n";
        CHECK_THROWS_WITH_AS(forecast(film + layer + rest, ""),
                             doctest::Contains("without [[film.layer]], take them out"), NoAnswer);
        CHECK_THROWS_WITH_AS(forecast(film + rest, "(9,9)"),
                             "no mode has the label '(9,9)'; ask for more modes in [solve]", NoAnswer);
        CHECK_THROWS_WITH_AS(forecast(film + rest, ""), "die 'a' has no tension of the wafer's sign", NoAnswer);
    }
}

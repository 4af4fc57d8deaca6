#include "tymbal/read/read_wafer.h"

#include "support/approx.h"
#include "support/designs.h"
#include "tymbal/base/error.h"

#include <doctest/doctest.h>

#include <cmath>
#include <filesystem>
#include <fstream>

#include <unistd.h>

using namespace tymbal;

namespace {

const std::string film = "[film]\nmaterial = \"nitride-stoichiometric\"\nthickness = \"100 nm\"\n";
const std::string wafer = "[wafer]\nthickness = \"525 +- 5 um\"\n";
const std::string faces = "films_before = \"none\"\nfilms_after = \"front\"\n";

Wafer parsed(const std::string& shape) {
    return parse_wafer(film + wafer + "[shape]\n" + shape + faces, "w.toml", sample::table());
}

std::string refusal(const std::string& text) {
    try {
        (void)parse_wafer(text, "w.toml", sample::table());
    } catch (const InputError& e) {
        return e.what();
    }
    return "accepted";
}

}  // namespace

TEST_SUITE("unit") {
    TEST_CASE("a wafer file of megabytes is refused before it is parsed") {
        const auto path = std::filesystem::temp_directory_path() / ("tymbal-wafer-" + std::to_string(::getpid()));
        std::ofstream(path) << film << wafer << std::string(std::size_t{1} << 20U, '\n');
        CHECK_THROWS_WITH_AS((void)read_wafer(path.string(), sample::table()), doctest::Contains("larger than 1 MiB"),
                             InputError);
        std::filesystem::remove(path);
    }

    TEST_CASE("bow, radius and curvature of the same wafer give the same stress") {
        const auto stress = [](const std::string& shape) {
            return film_of_wafer(parsed(shape), sample::table()).stress.stress_pa;
        };
        const double bow = stress("bow_before = \"0 um\"\nbow_after = \"9.6 um\"\nscan = \"80 mm\"\n");
        CHECK(bow == sample::Approx(stress("radius_before = \"flat\"\nradius_after = \"83.33333333 m\"\n")));
        CHECK(bow == sample::Approx(stress("curvature_before = \"0 1/m\"\ncurvature_after = \"0.012 1/m\"\n")));
    }

    TEST_CASE("what a wafer file leaves open or mixes up is refused with its place and cure") {
        const std::string start = film + wafer + "[shape]\n";
        const auto check = [](const std::string& text, const std::string& place, const std::string& hint) {
            const std::string message = refusal(text);
            CAPTURE(message);
            CHECK(message.find(place) == 0);
            CHECK(message.find(hint) != std::string::npos);
        };
        check(start + faces, "w.toml:6: shape.bow_before", "pair");
        check(start + "bow_after = \"9 um\"\nscan = \"80 mm\"\n" + faces, "w.toml:6: shape.bow_before", "both shapes");
        check(start + "bow_before = \"0 um\"\nbow_after = \"9 um\"\n" + faces, "w.toml:6: shape.scan", "missing");
        check(start + "bow_before = \"0 um\"\nbow_after = \"9 um\"\nradius_after = \"80 m\"\n" + faces,
              "w.toml:9: shape.radius_after", "one kind");
        check(start + "radius_before = \"0 m\"\nradius_after = \"80 m\"\n" + faces, "w.toml:7: shape.radius_before",
              "flat");
        check(start + "bow_before = 3\nbow_after = \"9 um\"\nscan = \"80 mm\"\n" + faces, "w.toml:7: shape.bow_before",
              "text with number and unit");
        check(start + "curvature_before = \"0 1/m\"\ncurvature_after = \"1 1/m\"\nfilms_before = \"none\"\n",
              "w.toml:6: shape.films_after", "none, front, back or both");
        check(start + "curvature_before = \"0 1/m\"\ncurvature_after = \"1 1/m\"\nfilms_before = \"non\"\n",
              "w.toml:9: shape.films_before", "none, front, back, both (did you mean 'none'?)");
        check("[film]\nmaterial = \"nitride-stoichometric\"\nthickness = \"100 nm\"\n" + wafer + "[shape]\n" +
                  "curvature_before = \"0 1/m\"\ncurvature_after = \"1 1/m\"\n" + faces,
              "w.toml:2: film.material", "did you mean 'nitride-stoichiometric'");
        check(film + "[shape]\n", "w.toml: wafer", "missing");
        check(film + "[wafer]\nthikness = \"1 mm\"\n[shape]\n", "w.toml:5: wafer.thikness", "did you mean 'thickness'");
        check(film +
                  "[wafer]\nthickness = \"525 nm\"\n[shape]\ncurvature_before = \"0 1/m\"\ncurvature_after = \"1 "
                  "1/m\"\n" +
                  faces,
              "w.toml:5: wafer.thickness", "10 um to 10 mm");
    }

    TEST_CASE("a design takes the wafer's film and keeps everything else, comments too") {
        const auto path = std::filesystem::temp_directory_path() / "tymbal-wafer-design.toml";
        std::ofstream(path) << "# kept\n[film]\nmaterial = \"nitride-stoichiometric\"  # row\nthickness = \"50 nm\"\n"
                               "stress = \"1 GPa\"\nstress_temperature = \"300 K\"\n[outline]\nshape = \"disc\"\n"
                               "diameter = \"200 um\"\n";
        WaferFilm f =
            film_of_wafer(parsed("curvature_before = \"0 1/m\"\ncurvature_after = \"0.012 1/m\"\n"), sample::table());
        const std::string text = design_with_film(path.string(), f, sample::table());
        std::filesystem::remove(path);
        CHECK(text.find("# kept\n[film]\n") == 0);
        CHECK(text.find("# row") != std::string::npos);
        CHECK(text.find("stress_temperature") == std::string::npos);
        const Device device = parse_device(text, "d.toml", sample::table());
        CHECK(device.film.stress.si() == sample::Approx(f.stress.stress_pa).epsilon(1e-5));
        CHECK(device.film.stress.deviation_si() == sample::Approx(f.stress.stress_std_pa).epsilon(1e-2));
        CHECK(device.film.thickness.si() == sample::Approx(100e-9));
    }

    TEST_CASE("a film section is found with blanks in its brackets, and in braces") {
        const auto path =
            std::filesystem::temp_directory_path() / ("tymbal-wafer-" + std::to_string(::getpid()) + ".toml");
        const WaferFilm f =
            film_of_wafer(parsed("curvature_before = \"0 1/m\"\ncurvature_after = \"0.012 1/m\"\n"), sample::table());
        const auto with_film = [&](const std::string& section) {
            std::ofstream(path) << section << "[outline]\nshape = \"disc\"\ndiameter = \"200 um\"\n";
            return design_with_film(path.string(), f, sample::table());
        };
        const std::string lines = with_film("[ film ]\nmaterial = \"nitride-stoichiometric\"\nthickness = \"50 nm\"\n");
        CHECK(parse_device(lines, "d.toml", sample::table()).film.thickness.si() == sample::Approx(100e-9));
        const std::string braces = with_film(
            "film = { material = \"nitride-stoichiometric\", stress_temperature = \"300 K\", thickness = \"50 nm\" "
            "}\n");
        CHECK(parse_device(braces, "d.toml", sample::table()).film.thickness.si() == sample::Approx(100e-9));
        CHECK(braces.find("stress_temperature") == std::string::npos);
        std::filesystem::remove(path);
    }

    TEST_CASE("dies: thicker film is hardly another frequency, and chances of a window add up from both sides") {
        Wafer w = parsed("curvature_before = \"0 1/m\"\ncurvature_after = \"0.012 1/m\"\n");
        const Sourced<Length> thin(Length::from_si(90e-9), Length{}, {"test", Origin::design});
        const Sourced<Length> thick(Length::from_si(110e-9), Length{}, {"test", Origin::design});
        w.dies = {{"a", {}, thin, {}, {}}, {"b", {}, thick, {}, {}}};
        const auto chances = [&](const std::string& window) {
            WaferFilm f = film_of_wafer(w, sample::table());
            const Device d = sample::design(sample::film("100 nm") + sample::square("100 um") +
                                            "[limits]\nfrequency = [" + window + "]\n[solve]\nmodes = 1\n");
            add_forecast(w, d, "", f);
            return f.forecast;
        };
        const auto below = chances("\"1 Hz\", \"4 MHz\""), above = chances("\"4 MHz\", \"1 GHz\"");
        CHECK(*below[0].chance + *above[0].chance == sample::Approx(1.0).epsilon(1e-9));
        CHECK(below[0].frequency_hz / below[1].frequency_hz == sample::Approx(1.0).epsilon(0.01));
        CHECK(below[0].frequency_hz != below[1].frequency_hz);
    }
}

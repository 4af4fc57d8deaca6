// What a design that is read contains.
#include "support/approx.h"
#include "support/designs.h"
#include "support/places.h"
#include "tymbal/base/error.h"

#include <doctest/doctest.h>

#include <cmath>
#include <filesystem>
#include <string>

using namespace tymbal;
using sample::design;

namespace {

/// With the table's constants.
std::string nitride(const std::string& stress = "1 GPa") {
    return "[film]\nmaterial = \"nitride-stoichiometric\"\nthickness = \"100 nm\"\nstress = \"" + stress + "\"\n";
}

const std::string square = sample::square("120 um");

}  // namespace

TEST_SUITE("unit") {
    TEST_CASE("a sound design is read in SI units with its uncertainties") {
        const Device d = design(nitride("1.0 +- 0.1 GPa") + square +
                                "[holes]\nlattice = \"triangular\"\ndiameter = \"2 um\"\npitch = \"5 um\"\n");
        CHECK(d.film.thickness.si() == sample::Approx(1e-7));
        CHECK(d.film.stress.deviation_si() == sample::Approx(1e8));
        CHECK(d.film.stress.source().origin == Origin::design);
        CHECK(d.film.density.source().origin == Origin::memory);
        CHECK(std::get<Rectangle>(d.outline).width.si() == sample::Approx(120e-6));
        CHECK(d.holes->margin.si() == sample::Approx(2.5e-6));
    }

    TEST_CASE(
        "a cavity takes spot and power from the readout, its film from the middle, and finesse as equal mirrors") {
        const std::string seen = nitride() + square +
                                 "[readout]\nwavelength = \"1064 nm\"\nspot_radius = \"20 um\"\n"
                                 "power = \"5 uW\"\n[cavity]\nlength = \"10 mm\"\n";
        const Cavity plain = *design(seen + "input_transmission = 1e-4\n").cavity;
        CHECK(plain.film_from_input.si() == sample::Approx(5e-3));
        CHECK(plain.waist.si() == sample::Approx(20e-6));
        CHECK(plain.power->si() == sample::Approx(5e-6));
        CHECK(plain.end_transmission == 0.0);
        CHECK_FALSE(plain.detuning.has_value());
        const Cavity old = *design(seen + "finesse = 20000\ndetuning = \"best\"\n").cavity;
        CHECK(old.input_transmission == sample::Approx(3.14159265358979 / 20000));
        CHECK(old.end_transmission == old.input_transmission);
        const Cavity full = *design(seen +
                                    "position = \"2 mm\"\ninput_transmission = 100e-6\nend_transmission = "
                                    "10e-6\nloss = 5e-6\nwaist = \"30 um\"\ndetuning = \"-400 kHz\"\npower = "
                                    "\"10 uW\"\n")
                                 .cavity;
        CHECK(full.film_from_input.si() == sample::Approx(2e-3));
        CHECK(full.waist.si() == sample::Approx(30e-6));
        CHECK(full.detuning->si() == sample::Approx(-400e3));
        CHECK(full.power->si() == sample::Approx(10e-6));
        // Two mirrors of 25 mm, 10 mm apart: w0^2 = lambda/(2 pi) sqrt(L (2 R - L)) (Kogelnik and Li, 1966; memory)
        const Cavity curved =
            *design(seen + "input_transmission = 1e-4\ninput_radius = \"25 mm\"\nend_radius = \"25 mm\"\n").cavity;
        CHECK(curved.waist.si() == sample::Approx(std::sqrt(1064e-9 / 6.283185307 * std::sqrt(0.01 * 0.04))));
        const Cavity end = *design(seen + "input_transmission = 1e-4\nposition = \"end\"\n").cavity;
        CHECK(end.film_is_end);
        CHECK(end.film_from_input.si() == sample::Approx(10e-3));
    }

    TEST_CASE("a film over a hole right through its chip may hang in a cavity") {
        const std::string over = nitride() + square +
                                 "[release]\ngap = \"2 um\"\n[readout]\nwavelength = \"1064 "
                                 "nm\"\nspot_radius = \"20 um\"\nbelow = \"none\"\n[cavity]\nlength = "
                                 "\"1 cm\"\ninput_transmission = 1e-4\n";
        CHECK(design(over).cavity.has_value());
    }

    TEST_CASE("the design's fingerprint is the SHA-256 of its bytes") {
        // Computed with sha256sum of GNU coreutils from the same bytes.
        CHECK(design(nitride() + square).sha256 == "bca180fea4eafc942588ea9aee081d6ba70825207573acba53c7c5c4330bed61");
    }

    TEST_CASE("brackets in texts and comments do not count as nesting, and a long list may be broken into lines") {
        const std::string open(100, '[');
        CHECK_NOTHROW((void)design("# " + open + "\ntitle = \"" + open + "\\\"" + open + "\"\n" + nitride() + square));
        std::string centres = "centres = [\n";
        for (int k = 0; k < 1000; ++k) centres += "[\"" + std::to_string(-54000 + 108 * k) + " nm\", \"0 um\"],\n";
        const Device d =
            design(nitride() + square + "[holes]\nlattice = \"list\"\ndiameter = \"100 nm\"\n" + centres + "]\n");
        CHECK(d.holes->centres.size() == 1000);
    }

    TEST_CASE("what is UTF-8 and what is not") {
        const auto with_title = [](const std::string& title) {
            return design("title = '" + title + "'\n" + nitride() + square).title;
        };
        // First and last characters of each length and their neighbours: Unicode 15, table 3-7.
        for (const char* sound : {"\xc2\xb5", "\xdf\xbf", "\xe0\xa0\x80", "\xed\x9f\xbf", "\xee\x80\x80",
                                  "\xef\xbf\xbf", "\xf0\x90\x80\x80", "\xf4\x8f\xbf\xbf"})
            CHECK(with_title(sound) == sound);
        for (const char* wrong :
             {"\x80", "\xc1\xbf", "\xc2", "\xc2 ", "\xdf\xc0", "\xe0\x9f\xbf", "\xe2\x82", "\xe2\x82\xc0",
              "\xed\xa0\x80", "\xf0\x8f\xbf\xbf", "\xf0\x90\x80", "\xf4\x90\x80\x80", "\xf5\x80\x80\x80", "\xff"}) {
            CAPTURE(wrong);
            CHECK_THROWS_WITH_AS((void)with_title(wrong),
                                 doctest::Contains("test.toml:1: has a character that is not UTF-8"), InputError);
        }
    }

    TEST_CASE("a clockwise polygon is turned round") {
        const Device d = design(nitride() +
                                "[outline]\nshape = \"polygon\"\nvertices = [[\"0 um\",\"0 um\"],[\"0 "
                                "um\",\"9 um\"],[\"9 um\",\"0 um\"]]\n");
        CHECK(std::get<Polygon>(d.outline).vertices.front().x == sample::Approx(9e-6));
    }

    TEST_CASE("stress follows the device temperature by the mismatch with the chip") {
        const Device d = design(nitride() + "temperature = \"395 K\"\n" + square);
        // ds = -E/(1-nu) (alpha_film - alpha_silicon) dT with the table's 250 GPa, 0.25, 2.3 and 2.57 ppm/K, 100 K:
        // +9.0 MPa
        CHECK(d.film.stress.si() - 1e9 == sample::Approx(250e9 / 0.75 * 0.27e-6 * 100.0));
        CHECK(d.film.stress.deviation_si() > 0.0);
    }

    TEST_CASE("every example is a sound design") {
        int designs = 0;
        for (const auto& file : std::filesystem::directory_iterator(places::source_dir() + "/examples")) {
            if (file.path().extension() != ".toml" || file.path().stem() == "wafer") continue;
            CAPTURE(file.path().string());
            CHECK_NOTHROW((void)as_released(read_design(file.path().string()), sample::table()));
            ++designs;
        }
        CHECK(designs > 10);
    }
}

// A design changed by key is the design that would have been written so.
#include "tymbal/read/design.h"
#include "tymbal/read/parse_axis.h"

#include "support/approx.h"
#include "support/designs.h"

#include "tymbal/base/error.h"
#include "tymbal/film/unit_cell.h"

#include <doctest/doctest.h>

using namespace tymbal;
using sample::Approx;

namespace {

const std::string text = sample::film("100 +- 2 nm") + sample::square("120 um") +
                         "[holes]\nlattice = \"triangular\"\ndiameter = \"2.00 +- 0.05 um\"\npitch = \"5 um\"\n" +
                         "margin = \"4 um\"\nfield = [\"80 um\", \"60 um\"]\n";

Device changed(const Changes& changes) {
    return parse_device(text, "test.toml", sample::table(), changes);
}

}  // namespace

TEST_SUITE("unit") {
    TEST_CASE("a number takes the place of the file's to the last bit, and its deviation stays") {
        const double odd = 1.0 / 3.0 * 1e-6;
        const Device d = changed({{"holes.diameter", 3.0 * odd}, {"film.thickness", 0.1 * odd}, {"solve.modes", 5.0}});
        CHECK(d.holes->size.si() == 3.0 * odd);
        CHECK(d.holes->size.deviation_si() == Approx(0.05e-6));
        CHECK(d.film.thickness.si() == 0.1 * odd);
        CHECK(d.film.thickness.deviation_si() == Approx(2e-9));
        CHECK(d.solve.modes == 5);
        CHECK(d.sha256 == changed({}).sha256);  // still the same file
    }

    TEST_CASE("names change too, and bring what belongs to them") {
        const Device d = changed({{"film.material", "nitride-silicon-rich"}, {"holes.lattice", "square"}});
        CHECK(d.film.material == "nitride-silicon-rich");
        CHECK(d.holes->lattice == Lattice::square);
        CHECK(d.film.stress.si() == Approx(1e9));  // the design's own value overrides every row
    }

    TEST_CASE("scales move every length of their section, the fill factor sets the hole at its pitch") {
        const Device d = changed({{"outline.scale", 2.0}, {"holes.scale", 1.5}, {"holes.fill_factor", 0.3}});
        CHECK(std::get<Rectangle>(d.outline).height.si() == Approx(240e-6));
        CHECK(d.holes->pitch.si() == Approx(7.5e-6));
        CHECK(d.holes->margin.si() == Approx(6e-6));
        CHECK((*d.holes->field)[1].si() == Approx(90e-6));
        const double size = d.holes->size.si() / d.holes->pitch.si();
        CHECK(hole_area(HoleShape::circle, size) / cell_area(Lattice::triangular) == Approx(0.3));
    }

    TEST_CASE("a hole field is varied by its first side, and the second keeps its proportion") {
        const Device d = changed({{"holes.field", 40e-6}});
        CHECK((*d.holes->field)[0].si() == Approx(40e-6));
        CHECK((*d.holes->field)[1].si() == Approx(30e-6));
        const SweepAxis axis = parse_axis("holes.field=40um..80um:3");
        CHECK(axis.values.size() == 3);
        CHECK(std::get<double>(axis.values[1]) == Approx(60e-6));
    }

    TEST_CASE("what the changed design may not be is refused by the reader, what cannot be changed at once") {
        const auto refused = [](const Changes& changes, const char* hint) {
            CAPTURE(hint);
            CHECK_THROWS_WITH_AS((void)changed(changes), doctest::Contains(hint), InputError);
        };
        refused({{"holes.diameter", 5e-6}}, "touch or overlap");
        refused({{"film.thickness", 1.0}}, "0.1 mm");
        refused({{"holes.daimeter", 1e-6}}, "holes.diameter");
        refused({{"holes.field", 1e-6}}, "is smaller than one hole");
        refused({{"holes.fill_factor", 1.5}}, "between 0 and 1");
        refused({{"outline.scale", -1.0}}, "above zero");
        refused({{"outline.scale", "large"}}, "numbers");
        refused({{"film.material", 3.0}}, "film.material");
    }
}

// The key table: its examples are what a design may hold, its defaults what the reader takes.
#include "tymbal/read/design_keys.h"
#include "tymbal/base/parse_quantity.h"
#include "tymbal/read/design.h"

#include "support/designs.h"
#include "support/places.h"

#include <doctest/doctest.h>

#include <string>
#include <string_view>
#include <vector>

using namespace tymbal;

namespace {

/// The quantities of an example: itself, or the texts in quotes of a list.
std::vector<std::string> quantities_in(const std::string& example) {
    if (example.front() != '[') return {example};
    std::vector<std::string> all;
    for (std::size_t from = example.find('"'); from != std::string::npos;) {
        const std::size_t to = example.find('"', from + 1);
        all.push_back(example.substr(from + 1, to - from - 1));
        from = example.find('"', to + 1);
    }
    return all;
}

}  // namespace

TEST_SUITE("unit") {
    TEST_CASE(
        "every key has a default and an example that its kind accepts, with a deviation only where it may have one") {
        for (const DesignKey& key : design_keys()) {
            CAPTURE(key.section);
            CAPTURE(key.name);
            CHECK(std::string_view(key.meaning) != "");
            CHECK(std::string_view(key.fallback) != "");
            REQUIRE(std::string_view(key.example) != "");
            if (!key.kind) continue;
            for (const std::string& text : quantities_in(key.example)) {
                ParsedQuantity parsed;
                CHECK_NOTHROW(parsed = parse_quantity(text, *key.kind));
                CHECK((key.uncertain || !parsed.has_deviation));
            }
        }
    }

    TEST_CASE("defaults that the key table states are what the reader takes") {
        const Materials materials = read_materials(places::source_dir() + "/materials");
        const auto stated = [](const char* section, const char* name) {
            const DesignKey* key = find_design_key(section, name);
            REQUIRE(key != nullptr);
            return std::string(key->fallback);
        };
        const Device bare = parse_device(
            "[film]\nmaterial = \"nitride-stoichiometric\"\nthickness = \"50 nm\"\n[outline]\nshape = \"rectangle\"\n"
            "width = \"100 um\"\nheight = \"100 um\"\n[holes]\nlattice = \"square\"\ndiameter = \"2 um\"\npitch = \"5 "
            "um\"\n"
            "[chip]\nthickness = \"525 um\"\n[readout]\nwavelength = \"1064 nm\"\nspot_radius = \"10 um\"\n",
            "bare.toml", materials);
        CHECK(std::to_string(bare.solve.modes) == stated("solve", "modes"));
        CHECK(bare.solve.accuracy == std::stod(stated("solve", "accuracy")));
        CHECK(bare.solve.model == Model::automatic);
        CHECK(stated("solve", "model") == "auto");
        CHECK(bare.film.temperature.si() == parse_quantity(stated("film", "temperature"), Kind::temperature).value);
        CHECK(stated("holes", "margin") == "half a pitch");
        CHECK(bare.holes->margin.si() == 0.5 * bare.holes->pitch.si());
        CHECK(stated("holes", "shape") == "circle");
        CHECK(bare.holes->shape == HoleShape::circle);
        CHECK(bare.chip->material == stated("chip", "material"));
        CHECK((bare.chip->along_110 ? "110" : "100") == stated("chip", "edges"));
        CHECK(bare.readout->below == "none");  // no gap
    }
}

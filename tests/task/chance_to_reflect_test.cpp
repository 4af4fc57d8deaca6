// The chance that the film reflects what is asked of it, by the deviations of film and holes.
#include "task/chance_to_reflect.h"

#include "support/designs.h"

#include "tymbal/light/light_memo.h"

#include <doctest/doctest.h>

#include <string>

using namespace tymbal;

namespace {

std::string mirror(const std::string& thickness, const std::string& diameter) {
    return "title = \"mirror\"\n[film]\nmaterial = \"nitride-stoichiometric\"\nthickness = \"" + thickness +
           "\"\nstress = \"1 GPa\"\n" + sample::square("40 um") + "[holes]\nlattice = \"square\"\ndiameter = \"" +
           diameter +
           "\"\npitch = \"1.35 um\"\nmargin = \"4 um\"\n"
           "[readout]\nwavelength = \"1550 nm\"\nspot_radius = \"40 um\"\nbelow = \"none\"\n";
}

}  // namespace

TEST_SUITE("invariant") {
    TEST_CASE("the chance to reflect falls as more is asked, from one to nothing") {
        constexpr int films = 48;
        const Device device = sample::design(mirror("210 +- 2 nm", "0.80 +- 0.01 um"));
        const LightMemo light;  // the same films each time
        const auto chance = [&](double least) { return *chance_to_reflect(device, 1550e-9, least, light, films); };
        CHECK(chance(0.0) == 1.0);
        CHECK(chance(0.001) > 0.97);  // a film whose line lies at the laser may reflect next to nothing
        double before = 1.0;
        for (const double least : {0.1, 0.114, 0.13}) {
            const double now = chance(least);
            CHECK(now < before);
            before = now;
        }
        CHECK(chance(0.999) == 0.0);
    }
}

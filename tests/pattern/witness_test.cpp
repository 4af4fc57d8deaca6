// Witnesses that a process leaves nothing of, and patterns that would be wrong.
#include "support/designs.h"
#include "tymbal/base/error.h"
#include "tymbal/task/pattern.h"

#include <doctest/doctest.h>

using namespace tymbal;

TEST_SUITE("unit") {
    TEST_CASE("a pattern or witness that cannot be drawn has no answer and says what to leave out") {
        const std::string base = sample::film("100 nm") + sample::square("120 um") +
                                 "[holes]\nlattice = \"square\"\ndiameter = \"2 um\"\npitch = \"5 um\"\n";
        // Undercuts of a pitch of 5 um ask for strips up to 20 um, holes of 2 um for a ladder up to 3 um.
        const std::string coarse =
            "[chip]\nwidth = \"4 mm\"\nlength = \"4 mm\"\nthickness = \"500 um\"\n[process]\n"
            "least_feature = \"25 um\"\n";
        struct Refused {
            std::string text;
            std::vector<Witness> witnesses;
            const char* words;
        };
        for (const Refused& r :
             {Refused{
                  base + coarse, {Witness::undercut_ruler}, "as wide as process.least_feature; leave the ruler out"},
              Refused{base + coarse, {Witness::hole_ladder}, "as wide as process.least_feature; leave the ladder out"},
              Refused{sample::film("100 nm") + sample::square("120 um"), {}, "neither holes nor openings"}}) {
            PatternOptions options;
            options.witnesses = r.witnesses;
            CHECK_THROWS_WITH_AS((void)draw_pattern(sample::design(r.text), options), doctest::Contains(r.words),
                                 NoAnswer);
        }
    }
}

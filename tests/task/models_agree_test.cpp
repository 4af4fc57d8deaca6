// The averaged film beside every hole on the grid, and few grids beside many, where both apply.
#include "support/designs.h"

#include <doctest/doctest.h>

#include <cmath>
#include <string>

using namespace tymbal;

namespace {

struct Drum {
    const char* name;
    std::string outline, holes;
};

std::string rectangle(const std::string& width, const std::string& height) {
    return "[outline]\nshape = \"rectangle\"\nwidth = \"" + width + "\"\nheight = \"" + height + "\"\n";
}

Prediction predict(const Drum& drum, const std::string& model) {
    const std::string effort = "[solve]\nmodes = 3\naccuracy = 1e-3\nmodel = \"" + model + "\"\n";
    return sample::predict(sample::film("50 nm") + drum.outline + "[holes]\n" + drum.holes + effort);
}

void require_agreement(const Drum& drum) {
    CAPTURE(drum.name);
    const Prediction averaged = predict(drum, "averaged"), resolved = predict(drum, "resolved");
    REQUIRE(averaged.model == "averaged");
    REQUIRE(resolved.model == "resolved");
    for (std::size_t k = 0; k < 3; ++k) {
        CAPTURE(k);
        const Mode &a = averaged.modes[k].mode, &r = resolved.modes[k].mode;
        CHECK(std::abs(a.frequency_hz - r.frequency_hz) < a.discretisation_error_hz + r.discretisation_error_hz);
        // Neither may hide behind a wide error.
        CHECK(a.discretisation_error_hz + r.discretisation_error_hz < 0.02 * r.frequency_hz);
    }
}

}  // namespace

TEST_SUITE("slow") {
    TEST_CASE("averaged and resolved frequencies differ by less than what both say of their errors") {
        require_agreement({"triangular", rectangle("120 um", "100 um"),
                           "lattice = \"triangular\"\ndiameter = \"4 um\"\npitch = \"8 um\"\n"
                           "field = [\"108 um\", \"90 um\"]\n"});
        require_agreement({"disc", "[outline]\nshape = \"disc\"\ndiameter = \"120 um\"\n",
                           "lattice = \"triangular\"\ndiameter = \"3 um\"\npitch = \"9 um\"\nmargin = \"3 um\"\n"});
    }
}

TEST_SUITE("deep") {
    TEST_CASE("averaged and resolved frequencies differ by less than what both say, on other lattices and holes") {
        require_agreement({"honeycomb", rectangle("120 um", "110 um"),
                           "lattice = \"honeycomb\"\ndiameter = \"4 um\"\npitch = \"8 um\"\n"
                           "field = [\"108 um\", \"96 um\"]\n"});
        require_agreement({"square holes", rectangle("90 um", "90 um"),
                           "lattice = \"square\"\nshape = \"square\"\nside = \"4 um\"\npitch = \"10 um\"\n"
                           "field = [\"80 um\", \"80 um\"]\n"});
        require_agreement({"a field in part of the film", rectangle("140 um", "140 um"),
                           "lattice = \"square\"\ndiameter = \"4 um\"\npitch = \"8 um\"\n"
                           "field = [\"60 um\", \"60 um\"]\n"});
    }
}

TEST_SUITE("task") {
    TEST_CASE("etch fronts of which one per cent is asked are told by three grids, within the error that these state") {
        for (const char* side : {"50 um", "130 um"}) {
            const auto front = [&](const std::string& accuracy) {
                return sample::predict(
                    sample::film("100 nm") +
                    "[outline]\nshape = \"hole-field\"\n[release]\ngap = \"2 um\"\nundercut = \"3.5 um\"\n"
                    "[holes]\nlattice = \"square\"\ndiameter = \"1.5 um\"\npitch = \"4 um\"\nfield = [\"" +
                    side + "\", \"" + side + "\"]\n[solve]\nmodel = \"averaged\"\nmodes = 12\naccuracy = " + accuracy +
                    "\n");
            };
            const Prediction rough = front("1e-2"), exact = front("1e-3");
            CHECK(2 * rough.grid_cells < exact.grid_cells);
            for (std::size_t k = 0; k < exact.modes.size(); ++k) {
                const Mode &r = rough.modes[k].mode, &e = exact.modes[k].mode;
                CHECK(std::abs(r.frequency_hz - e.frequency_hz) < r.discretisation_error_hz);
                CHECK(r.discretisation_error_hz < 1e-2 * r.frequency_hz);
            }
        }
    }
}

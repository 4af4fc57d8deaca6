// The stress map against the figures of the prediction and against symmetry.
#include "support/approx.h"
#include "support/designs.h"

#include "tymbal/geometry/front.h"
#include "tymbal/task/report.h"
#include "tymbal/task/solved.h"

#include <doctest/doctest.h>

#include <algorithm>
#include <cmath>

using namespace tymbal;
using tymbal::sample::Approx;

namespace {

const std::string few = "[solve]\nmodes = 2\naccuracy = 1e-2\n";
const std::string holes =
    "[holes]\nlattice = \"square\"\nshape = \"circle\"\ndiameter = \"4 um\"\npitch = \"10 um\"\nmargin = \"6 um\"\n";

StressMap map_of(const Device& device) {
    const SolvedDesign solved = solve(device);
    return stress_map(device.outline, solved.laid.film, solved.set.fine);
}

}  // namespace

TEST_SUITE("unit") {
    TEST_CASE("a film without holes carries its deposited stress everywhere") {
        const StressMap map = map_of(sample::design(sample::film("50 nm") + sample::square("100 um") + few));
        for (std::size_t c = 0; c < map.largest.size(); ++c) {
            CHECK(map.largest[c] == Approx(1e9));
            CHECK(map.mean[c][0] == Approx(1e9));
            CHECK(std::abs(map.mean[c][2]) < 1.0);
        }
        CHECK(map.peak_pa == Approx(1e9));
    }

    TEST_CASE(
        "with holes the peak is that of the prediction, lies where the map is largest, and the map is symmetric") {
        const Device device = sample::design(sample::film("50 nm") + sample::square("100 um") + holes + few);
        const StressMap map = map_of(device);
        const Prediction p = predict(device, sample::table());
        CHECK(map.peak_pa == p.film.stress_peak_von_mises_pa);
        double largest = 0.0;
        for (const double v : map.largest) largest = std::max(largest, std::isnan(v) ? 0.0 : v);
        CHECK(largest == Approx(map.peak_pa));
        CHECK(map.peak_pa > 1.2e9);
        for (int j = 0; j < map.rows; ++j)
            for (int i = 0; i < map.columns; ++i) {
                const auto at = [&](int u, int v) {
                    return map.largest[static_cast<std::size_t>(u + map.columns * v)];
                };
                CHECK(at(i, j) == Approx(at(map.columns - 1 - i, j)).epsilon(1e-6));
            }
    }

    TEST_CASE("under a layer over nearly all of it the film keeps its own stress") {
        // Nothing relaxes inside: the layer's tension is even there, and the rim holds.
        const Device device =
            sample::design(sample::film("50 nm") +
                           "[[film.layer]]\nmaterial = \"aluminium\"\nthickness = \"20 nm\"\nstress = \"50 MPa\"\narea "
                           "= [[\"-49 um\", "
                           "\"-49 um\"], [\"49 um\", \"-49 um\"], [\"49 um\", \"49 um\"], [\"-49 um\", \"49 um\"]]\n" +
                           sample::square("100 um") + few);
        const StressMap map = map_of(device);
        const auto middle = static_cast<std::size_t>(map.columns / 2 + map.columns * (map.rows / 2));
        // 20 nm of 50 MPa pull 1 N/m of 51, which gives way to the bare frame by at most a fiftieth of its width.
        CHECK(map.mean[middle][0] == Approx(1e9).epsilon(1e-3));
        CHECK(map.mean[middle][1] == Approx(map.mean[middle][0]).epsilon(1e-6));
        CHECK(std::abs(map.mean[middle][2]) < 1e4);
    }

    TEST_CASE("a window whose fronts only just touch is predicted all the same, the front left out and why") {
        const std::string text =
            sample::film("50 nm") + sample::square("30 um") +
            "[holes]\nlattice = \"triangular\"\nshape = \"square\"\nside = \"2 um\"\npitch = \"4 um\"\n" +
            "margin = \"6 um\"\n[release]\ngap = \"2 um\"\nundercut = \"1 um\"\n" +
            "[solve]\nmodes = 1\naccuracy = 0.1\n";
        const Report r = report(sample::design(text), sample::table());
        CHECK(r.drawing.front.empty());
        CHECK(std::any_of(r.prediction.warnings.begin(), r.prediction.warnings.end(),
                          [](const Warning& w) { return w.code == "front-unknown"; }));
        CHECK_FALSE(r.release.has_value());
        CHECK(r.release_missing.find("change the undercut by a nanometre") != std::string::npos);
    }

    TEST_CASE("a mode of [target] that is not solved: the report shows the lowest and says so") {
        const std::string text = sample::film("50 nm") + sample::square("30 um") +
                                 "[target]\nmode = \"(7,7)\"\n[solve]\nmodes = 1\naccuracy = 0.1\n";
        const Report r = report(sample::design(text), sample::table());
        CHECK(r.target_mode == 1);
        const Warnings& warnings = r.prediction.warnings;
        const auto said = std::find_if(warnings.begin(), warnings.end(),
                                       [](const Warning& w) { return w.code == "target-not-solved"; });
        REQUIRE(said != warnings.end());
        CHECK(said->text.find("(7,7)") != std::string::npos);
        CHECK(said->text.find("raise solve.modes") != std::string::npos);
    }

    TEST_CASE("a report draws what the design says and names the mode that [target] names" *
              doctest::test_suite("slow")) {
        const std::string text = sample::film("50 nm") + sample::square("100 um") + holes +
                                 "[release]\ngap = \"2 um\"\nsacrificial = \"oxide-thermal\"\nundercut = \"3 um\"\n" +
                                 "[target]\nmode = \"(2,1)\"\n" + "[solve]\nmodes = 3\naccuracy = 1e-2\n";
        const Report r = report(sample::design(text), sample::table());
        CHECK(r.prediction.modes[static_cast<std::size_t>(r.target_mode - 1)].mode.label == "(2,1)");
        CHECK(r.target_mode > 1);
        CHECK(r.drawing.hole_centres.size() == 81);
        CHECK(r.drawing.hole_corners.empty());
        CHECK(loops(r.drawing.front).size() == 81);  // 10 um pitch, 4 um holes, 3 um undercut: one disc each
        CHECK(r.release.has_value());
        CHECK_FALSE(r.comparison.has_value());
    }
}

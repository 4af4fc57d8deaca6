// Sweeps: the same rows on any number of threads, failures that stay in their row, cells solved once.
#include "tymbal/task/sweep.h"

#include "support/approx.h"
#include "support/designs.h"

#include "tymbal/film/cell_memo.h"
#include "tymbal/print/sweep_table.h"

#include <doctest/doctest.h>

#include <algorithm>
#include <cmath>

using namespace tymbal;
using sample::Approx;

namespace {

const std::string text = sample::film("100 +- 2 nm") + sample::square("60 um") +
                         "[holes]\nlattice = \"triangular\"\ndiameter = \"2.00 +- 0.05 um\"\npitch = \"5 um\"\n" +
                         "margin = \"4 um\"\n[readout]\nwavelength = \"1064 nm\"\nspot_radius = \"10 um\"\n" +
                         "[solve]\nmodes = 1\n";

Device device_at(const Changes& changes) {
    return parse_device(text, "test.toml", sample::table(), changes);
}

const SweepGrid grid{{{"holes.fill_factor", {0.1, 0.3}}, {"outline.scale", {1.0, 0.001, 1.5}}}};

std::string rows(unsigned threads) {
    const SweepIdentity identity{"", "", "", {}, grid, 1, 1, 1};
    std::vector<std::string> lines(grid.size());
    const DeviceAt at = device_at;
    sweep({at, sample::table(), grid, part_of(grid.size(), 1, 1), threads},
          [&](const SweepRow& row) { lines[row.index] = row_text(identity, row); });
    std::string all;
    for (const std::string& line : lines) all += line;
    return all;
}

}  // namespace

TEST_SUITE("reference") {
    TEST_CASE("rows are the same bytes on one thread and on three, and failures stay in theirs") {
        const std::string one = rows(1);
        CHECK(one == rows(3));
        CHECK(std::count(one.begin(), one.end(), '\n') == 6);
        CHECK(one.find("out of range") != std::string::npos);  // a thousandth of the size
    }
}

TEST_SUITE("unit") {
    TEST_CASE("a row is what predict says of its design" * doctest::test_suite("slow")) {
        const Changes changes = grid.at(5);
        const DesignFigures f = design_figures(device_at(changes), sample::table(), {CellMemo(), false});
        const Prediction p = predict(device_at(changes), sample::table());
        CHECK(f.modes[0].frequency_hz == p.modes[0].mode.frequency_hz);
        CHECK(f.modes[0].frequency_std_hz == p.modes[0].mode.frequency_std_hz);
        CHECK(*f.static_stiffness_n_per_m == *p.film.static_stiffness_n_per_m);
        CHECK(*f.reflectivity == p.slab->seen.reflectivity);
        CHECK(*f.ligament_m > 0.0);
        CHECK_FALSE(f.release.release_time_s.has_value());
    }

    TEST_CASE("what holes cost: stress, stiffness and reflectivity fall with the fill factor") {
        const auto at = [](double fill) {
            return design_figures(device_at({{"holes.fill_factor", fill}}), sample::table(), {CellMemo(), false});
        };
        const DesignFigures few = at(0.1), many = at(0.4);
        CHECK(many.stress_relaxed_mean_pa < few.stress_relaxed_mean_pa);
        CHECK(*many.static_stiffness_n_per_m < *few.static_stiffness_n_per_m);
        CHECK(*many.reflectivity < *few.reflectivity);
        CHECK(many.modes[0].frequency_hz < few.modes[0].frequency_hz);
    }

    TEST_CASE("a memo answers like the solver and keeps one cell per shape" * doctest::test_suite("slow")) {
        const CellMemo memo;
        const CellProblem problem{Lattice::square, HoleShape::circle, 0.4, 0.25, 0.05, 1e-2};
        CHECK(memo(problem).stiffness == solve_cell(problem).stiffness);
        const CellMemo copy = memo;
        CHECK(copy(problem).bulk_error == solve_cell(problem).bulk_error);
        CHECK(memo.size() == 1);
    }

    TEST_CASE("what a row's receiver throws ends the sweep") {
        const DeviceAt at = device_at;
        CHECK_THROWS_WITH((sweep({at, sample::table(), grid, {1, 4}, 2},
                                 [](const SweepRow&) { throw std::runtime_error("disk full"); })),
                          "disk full");
    }
}

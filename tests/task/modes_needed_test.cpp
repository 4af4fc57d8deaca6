// How many modes a comparison solves, told before anything is solved and from the first lines.
#include "task/modes_needed.h"

#include "support/designs.h"
#include "tymbal/task/predicted_lines.h"
#include "tymbal/task/solved.h"

#include <doctest/doctest.h>

#include <algorithm>
#include <cmath>
#include <string>

using namespace tymbal;

namespace {

Device solved_for(const std::string& film, const std::string& outline, int modes) {
    return sample::design(film + outline + "[solve]\nmodes = " + std::to_string(modes) + "\n");
}

std::string front(const std::string& side) {
    return "[outline]\nshape = \"hole-field\"\n[holes]\nlattice = \"square\"\ndiameter = \"1.5 um\"\npitch = \"4 um\"\n"
           "field = [\"" +
           side + "\", \"" + side + "\"]\n[release]\ngap = \"2 um\"\nundercut = \"3.5 um\"\n";
}

/// The solved modes up to 1.4 times a peak, against those expected of the film alone.
void check_expected(const std::string& film, const std::string& outline, const std::string& model) {
    constexpr double reach = 1.4;
    Device averaged = solved_for(film, outline, 40);
    if (!model.empty()) averaged.solve.model = Model::averaged;
    const SolvedDesign solved = solve(averaged);
    const double highest = solved.set.modes.back().frequency_hz / reach;
    for (const double peak : {0.5 * highest, 0.8 * highest}) {
        const auto below = std::count_if(solved.set.modes.begin(), solved.set.modes.end(),
                                         [&](const Mode& m) { return m.frequency_hz < reach * peak; });
        const int expected = modes_expected(averaged, solve_cell, peak);
        CHECK(std::abs(expected - static_cast<double>(below)) < 2.0 + 0.2 * static_cast<double>(below));
    }
}

}  // namespace

TEST_SUITE("task") {
    TEST_CASE("the film alone tells how many modes lie below a frequency: plain, stiff, front") {
        check_expected(sample::film("100 nm"), sample::square("200 um"), "");
        check_expected(sample::film("2 um"), sample::square("60 um"), "");  // bending makes half of it
        check_expected(sample::film("100 nm"), front("60 um"), "averaged");
    }

    TEST_CASE("what no lattice's average tells is expected to have no modes") {
        Device near = solved_for(sample::film("100 nm"), sample::square("200 um"), 8);
        CHECK(modes_expected(near, solve_cell, 3e6) > 0);
        near.solve.near_hz = 2e6;
        CHECK(modes_expected(near, solve_cell, 3e6) == 0);
        Device apart = solved_for(sample::film("100 nm"), front("60 um"), 8);
        CHECK(modes_expected(apart, solve_cell, 1e7) > 0);
        apart.holes->lattice = Lattice::list;
        CHECK(modes_expected(apart, solve_cell, 1e7) == 0);
    }

    TEST_CASE("solved lines go on as Weyl counts, from those asked for to the most that are solved unasked") {
        LineModel lines;
        for (int k = 1; k <= 12; ++k) {
            lines.lines.emplace_back();
            lines.lines.back().frequency_hz = 1e6 * std::sqrt(k);
        }
        CHECK(modes_needed(lines, 10, 1e6 * std::sqrt(10.0)) == 19);  // 10 * 1.4^2, the last two not looked at
        CHECK(modes_needed(lines, 10, 1e6) == 10);
        CHECK(modes_needed(lines, 10, 1e7) == 60);
    }
}

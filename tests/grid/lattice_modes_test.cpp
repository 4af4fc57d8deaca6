#include "tymbal/grid/lattice_modes.h"
#include "support/approx.h"

#include "grid/block_cycle.h"
#include "grid/small_problem.h"

#include "tymbal/base/error.h"
#include "tymbal/grid/eigenpairs.h"

#include "support/films.h"
#include "support/perforated.h"

#include <doctest/doctest.h>

#include <algorithm>
#include <cmath>
#include <limits>
#include <numbers>
#include <string>

using namespace tymbal;

namespace {

/// A perforated rectangle of unit width under the same tension everywhere in the film.
LatticeFilm perforated_film(int cells_x, int cells_y, int holes_x, int holes_y, double fill, double tension = 1.0) {
    const std::vector<double> share = perforated::film_share(cells_x, cells_y, holes_x, holes_y, fill);
    CellTensor pull(share.size());
    for (std::size_t c = 0; c < share.size(); ++c) pull[c] = {tension * share[c], tension * share[c], 0.0};
    return lattice_film(RectangleCells{cells_x, cells_y, 1.0 / cells_x, 1.0 / cells_x}, pull, share);
}

void check_against_direct(const LatticeFilm& film, const LatticeModeOptions& options) {
    const SparseFilm sparse = to_sparse(film);
    const Eigenpairs direct = lowest_eigenpairs(sparse.stiffness, sparse.mass, options.count);
    const LatticeModes found = lattice_modes(film, options, {2, {}, nullptr});
    for (Eigen::Index k = 0; k < options.count; ++k) {
        CAPTURE(k);
        CHECK(found.values[k] == sample::Approx(direct.values[k]).epsilon(1e-7));
    }
    CHECK(found.worst_residual <= options.residual);
    CHECK(found.levels.size() > 1);
    CHECK(found.levels.back().unknowns == film.unknowns());
}

/// w_k' M w_l
double product(const LatticeFilm& film, const LatticeModes& modes, std::size_t k, std::size_t l) {
    const auto lanes = static_cast<std::size_t>(modes.lanes);
    double sum = 0.0;
    for (std::size_t n = 0; n < film.mass.size(); ++n)
        sum += film.mass[n] * modes.vectors[n * lanes + k] * modes.vectors[n * lanes + l];
    return sum;
}

}  // namespace

TEST_SUITE("reference") {
    TEST_CASE("the block eigensolver agrees with the direct one: plain, perforated, odd sizes, oblong, curved rim") {
        check_against_direct(perforated_film(64, 64, 1, 1, 0.0), {10, 1e-4, 40, 500});
        check_against_direct(perforated_film(150, 150, 15, 15, 0.2), {20, 1e-4, 40, 3000});
        check_against_direct(perforated_film(151, 97, 10, 6, 0.4), {8, 1e-6, 40, 500});
        check_against_direct(perforated_film(400, 31, 40, 3, 0.3), {6, 1e-4, 40, 500});
        const Grid grid = make_grid(boundary(simple::disc(1)), 101, 103);
        const auto cells = static_cast<std::size_t>(grid.cell_count());
        check_against_direct(lattice_film(grid, CellTensor(cells, {1.0, 1.1, 0.1}), std::vector<double>(cells, 1.0)),
                             {12, 1e-4, 40, 600});
    }

    TEST_CASE("a small problem goes to the direct solver and meets the same residual") {
        const LatticeFilm film = perforated_film(30, 30, 3, 3, 0.2);
        const LatticeModes found = lattice_modes(film, {});
        CHECK(found.levels.back().steps == 0);
        CHECK(found.worst_residual < 1e-9);
    }
}

TEST_SUITE("unit") {
    TEST_CASE("one thread and two give the same bits, and the modes are orthonormal in the mass") {
        const LatticeFilm film = perforated_film(90, 70, 9, 7, 0.25);
        const LatticeModeOptions options{5, 1e-4, 40, 800};
        const LatticeModes one = lattice_modes(film, options, {1, {}, nullptr});
        const LatticeModes two = lattice_modes(film, options, {2, {}, nullptr});
        CHECK(one.values == two.values);
        REQUIRE(one.vectors.size() == two.vectors.size());
        CHECK(std::equal(one.vectors.data(), one.vectors.data() + one.vectors.size(), two.vectors.data()));
        for (std::size_t k = 0; k < 5; ++k)
            for (std::size_t l = 0; l <= k; ++l)
                CHECK(product(film, one, k, l) == sample::Approx(k == l ? 1.0 : 0.0).epsilon(1e-9).scale(1.0));
        for (std::size_t n = 0; n < film.mass.size(); ++n)
            if (film.mass[n] == 0.0) CHECK(one.vectors[static_cast<std::size_t>(one.lanes) * n] == 0.0);
    }

    TEST_CASE("the memory announced is what the solver holds") {
        const LatticeFilm film = perforated_film(200, 160, 20, 16, 0.2);
        const LatticeModes modes = lattice_modes(film, {6, 1e-3, 40, 3000});
        const double announced = static_cast<double>(lattice_modes_bytes(199, 159, 6));
        CHECK(static_cast<double>(modes.bytes) == sample::Approx(announced).epsilon(0.05));
    }

    TEST_CASE("progress is reported level by level, and a stop ends the solution within a step") {
        const LatticeFilm film = perforated_film(90, 70, 9, 7, 0.25);
        std::atomic<bool> stop = false;
        std::vector<SolveStep> steps;
        const auto progress = [&](const SolveStep& s) { steps.push_back(s); };
        (void)lattice_modes(film, {5, 1e-4, 40, 800}, {1, progress, &stop});
        CHECK(steps.size() >= 3);
        CHECK(steps.front().unknowns < steps.back().unknowns);
        CHECK(steps.back().residual <= 1e-4);
        steps.clear();
        const auto stopping = [&](const SolveStep& s) {
            steps.push_back(s);
            stop = true;
        };
        CHECK_THROWS_WITH_AS((void)lattice_modes(film, {5, 1e-4, 40, 800}, {1, stopping, &stop}),
                             "the solution was stopped", NoAnswer);
        CHECK(steps.size() == 1);
    }

    TEST_CASE("a film under compression, an iteration cut short and too many modes have no answer") {
        CHECK_THROWS_AS((void)lattice_modes(perforated_film(90, 70, 9, 7, 0.25, -1.0), {5, 1e-4, 40, 800}), NoAnswer);
        CHECK_THROWS_AS((void)lattice_modes(perforated_film(90, 70, 9, 7, 0.25), {5, 1e-9, 2, 800}), NoAnswer);
        CHECK_THROWS_AS((void)lattice_modes(perforated_film(12, 12, 1, 1, 0.1), {150, 1e-4, 40, 800}), NoAnswer);
    }

    TEST_CASE("a film that buckles in one place only has no answer") {
        // Compression along x in the middle third, tension elsewhere.
        const RectangleCells cells{96, 96, 1.0 / 96, 1.0 / 96};
        CellTensor tension(96 * 96, {1.0, 1.0, 0.0});
        for (std::size_t c = 0; c < tension.size(); ++c)
            if (c % 96 >= 32 && c % 96 < 64 && c / 96 >= 32 && c / 96 < 64) tension[c] = {-2.5, 0.2, 0.0};
        const LatticeFilm film = lattice_film(cells, tension, std::vector<double>(tension.size(), 1.0));
        CHECK_THROWS_AS((void)lattice_modes(film, {5, 1e-4, 40, 800}), NoAnswer);
    }

    TEST_CASE("the cycle's coarsest lattice is stiff or there is no cycle") {
        // Compression along y, less than the tension along x: every node by itself is stiff.
        const CellTensor tension(96 * 96, {1.0, -0.3, 0.0});
        const LatticeFilm film =
            lattice_film(RectangleCells{96, 96, 1.0 / 96, 1.0 / 96}, tension, std::vector<double>(tension.size(), 1.0));
        const Ladder ladder = make_ladder(film, 1);
        CHECK_THROWS_WITH_AS(BlockCycle(ladder, 0, 4, 1), doctest::Contains("not stable"), NoAnswer);
    }

    TEST_CASE("a small problem that is no film's has no pairs") {
        struct Refused {
            double stiffness, mass;  // of the first vector; the others have one and none
            const char* words;
        };
        for (const Refused& r : {Refused{1.0, std::numeric_limits<double>::infinity(), "ran out of range"},
                                 Refused{-2.5, 1.0, "raise film.stress"}, Refused{1.0, 1.0, "lost the independence"}}) {
            CAPTURE(r.words);
            SmallProblem problem{Eigen::MatrixXd::Identity(3, 3), Eigen::MatrixXd::Zero(3, 3)};
            problem.stiffness(0, 0) = r.stiffness;
            problem.mass(0, 0) = r.mass;
            CHECK_THROWS_WITH_AS((void)ritz_pairs(problem, 2), doctest::Contains(r.words), NoAnswer);
        }
    }
}

TEST_SUITE("convergence") {
    TEST_CASE("the modes of a plain square approach the membrane formula in second order") {
        // lambda = pi^2 (m^2 + n^2) for unit side, tension and mass.
        const auto error = [](int cells) {
            const LatticeModes modes = lattice_modes(perforated_film(cells, cells, 1, 1, 0.0), {8, 1e-7, 40, 700});
            const double exact = 10.0 * std::numbers::pi * std::numbers::pi;  // (1, 3) and (3, 1)
            CHECK(modes.values[4] == sample::Approx(modes.values[5]).epsilon(1e-10));
            return std::abs(modes.values[4] / exact - 1.0);
        };
        const double order = std::log2(error(48) / error(96));
        CHECK(order > 1.9);
        CHECK(order < 2.1);
    }
}

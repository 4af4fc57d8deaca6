#include "tymbal/film/lattice_relax.h"
#include "support/approx.h"

#include "tymbal/base/error.h"
#include "tymbal/film/prestress.h"

#include "support/films.h"
#include "support/perforated.h"

#include <doctest/doctest.h>

#include <algorithm>
#include <cmath>

using namespace tymbal;

namespace {

const StretchedFilm film{{{{50.0, 11.0, 0.0}, {11.0, 50.0, 0.0}, {0.0, 0.0, 19.5}}}, 3e-3};

/// Largest difference from the direct solution over all cells, relative to the tension as deposited. Cells without
/// film have this much there: the direct solver wants every node held.
double difference(const Grid& grid, const std::vector<double>& share, const CellTensor& found, double void_share) {
    CellStiffness stiffness(share.size());
    for (std::size_t c = 0; c < share.size(); ++c)
        for (std::size_t r = 0; r < 3; ++r)
            for (std::size_t s = 0; s < 3; ++s)
                stiffness[c][r][s] = std::max(share[c], void_share) * film.stiffness[r][s];
    const InPlane solver(grid, stiffness);
    const auto pull = [&](const Quadrant& q) {
        return tension_of(stiffness[q.cell], {film.strain_0, film.strain_0, 0.0});
    };
    const TensionField field = tension_field(grid, solver, solver.balance(pull), pull);
    std::vector<bool> touched(share.size(), false);
    for_each_quadrant(grid, [&](const Quadrant& q) { touched[q.cell] = true; });
    double worst = 0.0;
    for (std::size_t c = 0; c < share.size(); ++c)
        for (std::size_t r = 0; r < 3 && touched[c]; ++r)
            worst = std::max(worst, std::abs(field.tension[c][r] - found[c][r]));
    return worst / (61.0 * film.strain_0);
}

}  // namespace

TEST_SUITE("unit") {
    TEST_CASE("the relaxed tension of a perforated rectangle is the direct solver's, voids and slivers included") {
        const Grid grid = make_grid(boundary(simple::rectangle(3, 2)), 45, 31);
        const std::vector<double> share = perforated::film_share(45, 31, 5, 3, 0.35);
        CHECK(*std::min_element(share.begin(), share.end()) == 0.0);
        const RectangleCells cells{45, 31, grid.dx, grid.dy};
        const Relaxed one = relax(cells, share, film, {1e-11, 200}, {1, {}, nullptr});
        CHECK(difference(grid, share, one.tension, 1e-13) < 1e-8);
        const Relaxed two = relax(cells, share, film, {1e-11, 200}, {2, {}, nullptr});
        CHECK(one.tension == two.tension);
    }

    TEST_CASE("the relaxed tension agrees on an outline that cuts the grid") {
        const Grid grid = make_grid(boundary(simple::ring(1, 0.4)), 32, 33);
        std::vector<double> share = perforated::film_share(32, 33, 4, 4, 0.2);
        for (double& s : share) s = std::max(s, 1e-6);
        const Vector u = relaxed_displacement(grid, share, film, {1e-11, 200});
        CornerTensor corners;
        for_each_quadrant(grid, [&](const Quadrant& q) {
            corners.push_back(tension_of(film.stiffness, {film.strain_0 + q.strain[0].value(u),
                                                          film.strain_0 + q.strain[1].value(u), q.strain[2].value(u)}));
            for (double& n : corners.back()) n *= share[q.cell];
        });
        CHECK(difference(grid, share, gathered(grid, corners).tension, 1e-6) < 1e-8);
    }

    TEST_CASE("a film without holes keeps its stress, and a cell that floats in a hole disturbs nothing") {
        const RectangleCells cells{24, 16, 1.0, 1.0};
        std::vector<double> share(24 * 16, 1.0);
        const Relaxed whole = relax(cells, share, film);
        CHECK(whole.steps <= 1);
        for (const auto& t : whole.tension) CHECK(t[0] == sample::Approx(61.0 * film.strain_0).epsilon(1e-12));
        for (int j = 6; j < 11; ++j)
            for (int i = 6; i < 13; ++i) share[static_cast<std::size_t>(i + 24 * j)] = 0.0;
        const Relaxed hole = relax(cells, share, film, {1e-10, 200});
        share[static_cast<std::size_t>(9 + 24 * 8)] = 1e-5;
        const Relaxed floating = relax(cells, share, film, {1e-10, 200});
        CHECK(std::abs(floating.tension[9 + 24 * 8][0]) < 1e-6);
        for (std::size_t c = 0; c < share.size(); ++c)
            CHECK(floating.tension[c][0] == sample::Approx(hole.tension[c][0]).epsilon(1e-6).scale(1.0));
    }

    TEST_CASE("the memory announced is what the relaxation holds") {
        const RectangleCells cells{150, 120, 1.0, 1.0};
        const Relaxed relaxed = relax(cells, perforated::film_share(150, 120, 15, 12, 0.2), film);
        CHECK(static_cast<double>(relaxed.bytes) ==
              sample::Approx(static_cast<double>(relax_bytes(cells))).epsilon(0.05));
        CHECK(relaxed.residual <= RelaxOptions{}.residual);
    }

    TEST_CASE("film that nothing holds has no balance, and a balance cut short is none") {
        const RectangleCells cells{24, 16, 1.0, 1.0};
        std::vector<double> island(24 * 16, 0.0);  // in the middle, no film round it
        for (int j = 5; j < 9; ++j)
            for (int i = 5; i < 12; ++i) island[static_cast<std::size_t>(i + 24 * j)] = 1.0;
        CHECK_THROWS_WITH_AS((void)relax(cells, island, film), doctest::Contains("use smaller holes"), NoAnswer);
        const Grid grid = make_grid(boundary(simple::rectangle(1, 1)), 8, 8);
        const CellStiffness none(static_cast<std::size_t>(grid.cell_count()));
        CHECK_THROWS_WITH_AS(InPlane(grid, none), doctest::Contains("use smaller holes"), NoAnswer);
        CHECK_THROWS_WITH_AS((void)relax(cells, perforated::film_share(24, 16, 3, 2, 0.2), film, {1e-11, 1}),
                             doctest::Contains("does not converge in 1 steps"), NoAnswer);
    }

    TEST_CASE("a stopped relaxation says so") {
        const std::atomic<bool> stop = true;
        const std::vector<double> share = perforated::film_share(24, 16, 3, 2, 0.2);
        CHECK_THROWS_AS((void)relax(RectangleCells{24, 16, 1.0, 1.0}, share, film, {}, {1, {}, &stop}), NoAnswer);
    }
}

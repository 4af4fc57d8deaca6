// Film shares of cut cells against closed areas, and film that nothing holds.
#include "support/approx.h"
#include "support/films.h"

#include "tymbal/base/constants.h"
#include "tymbal/base/error.h"
#include "tymbal/grid/held_film.h"
#include "tymbal/grid/open_share.h"

#include <doctest/doctest.h>

#include <cmath>
#include <numeric>

using namespace tymbal;

namespace {

constexpr double pi = constants::pi;

Grid unit_grid(int cells) {
    return make_grid(boundary(simple::rectangle(2.0, 2.0)), cells, cells);
}

double open_area(const std::vector<Figure>& figures, const Grid& grid) {
    const std::vector<double> share = open_share(figures, grid);
    return std::accumulate(share.begin(), share.end(), 0.0) * grid.dx * grid.dy;
}

}  // namespace

TEST_SUITE("unit") {
    TEST_CASE("the cells of one figure add up to its area, wherever it cuts the grid") {
        for (const int cells : {4, 7, 30}) {
            const Grid grid = unit_grid(cells);
            CHECK(open_area({circle_figure({0.031, -0.17}, 0.9)}, grid) == sample::Approx(pi * 0.2025).epsilon(1e-12));
            CHECK(open_area({rectangle_figure({0.1, 0.05}, {0.7, 0.4}, 0.0, 0.3)}, grid) ==
                  sample::Approx(0.28).epsilon(1e-12));
            // A rounded corner leaves out (1 - pi/4) r^2.
            CHECK(open_area({rectangle_figure({0.1, 0.05}, {0.7, 0.4}, 0.1, 0.3)}, grid) ==
                  sample::Approx(0.28 - (4.0 - pi) * 0.01).epsilon(1e-12));
            CHECK(open_area({rectangle_figure({0.0, 0.0}, {0.5, 0.4}, 0.2, 0.0)}, grid) ==
                  sample::Approx(0.2 - (4.0 - pi) * 0.04).epsilon(1e-12));
        }
    }

    TEST_CASE("every single cell is right: shares do not change when neighbours are merged") {
        const std::vector<Figure> hole{circle_figure({0.2, -0.1}, 1.1)};
        const Grid coarse = unit_grid(6), fine = unit_grid(24);
        const std::vector<double> big = open_share(hole, coarse), small = open_share(hole, fine);
        for (int j = 0; j < 6; ++j) {
            for (int i = 0; i < 6; ++i) {
                double sum = 0.0;
                for (int b = 0; b < 4; ++b)
                    for (int a = 0; a < 4; ++a) sum += small[static_cast<std::size_t>(fine.cell(4 * i + a, 4 * j + b))];
                CHECK(sum / 16.0 ==
                      sample::Approx(big[static_cast<std::size_t>(coarse.cell(i, j))]).epsilon(1e-11).scale(1.0));
            }
        }
    }

    TEST_CASE("overlapping figures count once: two circles' lens, shared sides, one inside the other") {
        const double r = 0.4, d = 0.5;
        const double lens = 2.0 * r * r * std::acos(d / (2.0 * r)) - 0.5 * d * std::sqrt(4.0 * r * r - d * d);
        const std::vector<Figure> two{circle_figure({-0.25, 0.01}, 0.8), circle_figure({0.25, 0.01}, 0.8)};
        CHECK(open_area(two, unit_grid(21)) == sample::Approx(2.0 * pi * r * r - lens).epsilon(1e-6));
        const std::vector<Figure> joined{rectangle_figure({-0.2, 0.0}, {0.4, 0.3}, 0.0, 0.0),
                                         rectangle_figure({0.2, 0.0}, {0.4, 0.3}, 0.0, 0.0)};
        CHECK(open_area(joined, unit_grid(17)) == sample::Approx(0.24).epsilon(1e-12));
        const std::vector<Figure> nested{circle_figure({0.0, 0.0}, 0.8), circle_figure({0.1, 0.0}, 0.3)};
        CHECK(open_area(nested, unit_grid(13)) == sample::Approx(pi * 0.16).epsilon(1e-6));
    }

    TEST_CASE("what reaches beyond the grid is left out") {
        CHECK(open_area({rectangle_figure({1.0, 0.0}, {1.0, 0.5}, 0.0, 0.0)}, unit_grid(9)) ==
              sample::Approx(0.25).epsilon(1e-12));
    }

    TEST_CASE("film that openings cut off is left out and its area told; a film without any support has no answer") {
        const Grid grid = unit_grid(20);
        // A square frame of four slots round an island of 0.4 x 0.4.
        std::vector<Figure> slots;
        for (const double s : {-0.25, 0.25}) {
            slots.push_back(rectangle_figure({s, 0.0}, {0.1, 0.6}, 0.0, 0.0));
            slots.push_back(rectangle_figure({0.0, s}, {0.6, 0.1}, 0.0, 0.0));
        }
        const auto film_of = [&](const std::vector<Figure>& figures) {
            std::vector<double> film = open_share(figures, grid);
            for (double& f : film) f = 1.0 - f;
            return film;
        };
        const HeldFilm held = held_film(grid, film_of(slots));
        CHECK(held.loose_area == sample::Approx(0.16).epsilon(1e-9));
        CHECK(grid.nodes.size() - held.grid.nodes.size() >= 9);
        for (const Node& node : held.grid.nodes)
            for (const Arm& arm : node.arms) CHECK(arm.to < static_cast<int>(held.grid.nodes.size()));
        CHECK_THROWS_AS((void)held_film(grid, film_of({rectangle_figure({0.0, 0.0}, {3.0, 3.0}, 0.0, 0.0)})), NoAnswer);
    }
}

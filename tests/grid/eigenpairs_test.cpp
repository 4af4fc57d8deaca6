#include "tymbal/grid/eigenpairs.h"
#include "support/approx.h"

#include "tymbal/base/error.h"

#include "support/films.h"

#include <doctest/doctest.h>

#include <algorithm>
#include <array>
#include <cmath>
#include <numbers>
#include <string>

using namespace tymbal;

namespace {

struct Membrane {
    Grid grid = make_grid(boundary(simple::rectangle(3, 2)), 30, 24);
    SparseMatrix stiffness =
        tension_matrix(grid, CellTensor(static_cast<std::size_t>(grid.cell_count()), {1.0, 1.0, 0.0}));
    Vector mass = mass_vector(grid, std::vector<double>(static_cast<std::size_t>(grid.cell_count()), 1.0));
};

/// A film of unit mass on an outline of unit size; `pull` is its tension in cell (i, j).
template <class Pull>
void check_split(const Outline& outline, int cells_x, int cells_y, int count, Pull pull) {
    const Grid grid = make_grid(boundary(outline), cells_x, cells_y);
    CellTensor tension(static_cast<std::size_t>(grid.cell_count()));
    for (int j = 0; j + 1 < grid.rows; ++j)
        for (int i = 0; i + 1 < grid.columns; ++i) tension[static_cast<std::size_t>(grid.cell(i, j))] = pull(i, j);
    const SparseMatrix stiffness = tension_matrix(grid, tension);
    const Vector mass = mass_vector(grid, std::vector<double>(static_cast<std::size_t>(grid.cell_count()), 1.0));
    const Eigenpairs whole = lowest_eigenpairs(stiffness, mass, count);
    const Eigenpairs split = lowest_eigenpairs(stiffness, mass, count, mirrors(grid));
    for (Eigen::Index k = 0; k < count; ++k) CHECK(split.values[k] == sample::Approx(whole.values[k]).epsilon(1e-10));
    const Eigen::MatrixXd gram = split.vectors.transpose() * mass.asDiagonal() * split.vectors;
    CHECK((gram - Eigen::MatrixXd::Identity(count, count)).norm() < 1e-8);
    CHECK(split.worst_residual < 1e-8);
}

}  // namespace

TEST_SUITE("reference") {
    TEST_CASE("a rectangular membrane on the grid has the closed eigenvalues of the five-point star") {
        // 4/h^2 sin^2(k pi/2N) per direction: e.g. LeVeque, Finite Difference Methods (2007), section 2.10, from
        // memory.
        const Membrane film;
        std::vector<double> exact;
        const auto part = [](int k, int cells, double side) {
            const double s = std::sin(0.5 * k * std::numbers::pi / cells) * 2.0 * cells / side;
            return s * s;
        };
        for (int m = 1; m < 30; ++m)
            for (int n = 1; n < 24; ++n) exact.push_back(part(m, 30, 3.0) + part(n, 24, 2.0));
        std::sort(exact.begin(), exact.end());
        const Eigenpairs pairs = lowest_eigenpairs(film.stiffness, film.mass, 20);
        for (Eigen::Index k = 0; k < 20; ++k)
            CHECK(pairs.values[k] == sample::Approx(exact[static_cast<std::size_t>(k)]).epsilon(1e-11));
        CHECK(pairs.worst_residual < 1e-9);
    }
}

TEST_SUITE("unit") {
    TEST_CASE("vectors are orthonormal in the mass and values rise") {
        const Membrane film;
        const Eigenpairs pairs = lowest_eigenpairs(film.stiffness, film.mass, 12);
        const Eigen::MatrixXd gram = pairs.vectors.transpose() * film.mass.asDiagonal() * pairs.vectors;
        CHECK((gram - Eigen::MatrixXd::Identity(12, 12)).norm() < 1e-9);
        for (Eigen::Index k = 1; k < 12; ++k) CHECK(pairs.values[k] >= pairs.values[k - 1]);
    }

    TEST_CASE("split by its mirrors a problem keeps all its pairs, whether x and y can be exchanged or not") {
        const auto even = [](int, int) { return std::array<double, 3>{1.0, 1.0, 0.0}; };
        const auto lengthwise = [](int, int) { return std::array<double, 3>{1.1, 1.0, 0.0}; };
        const auto softer_middle = [](int i, int j) {
            const double pull = std::max(std::abs(i - 19.5), std::abs(j - 19.5)) < 12.0 ? 0.7 : 1.0;
            return std::array<double, 3>{pull, pull, 0.0};
        };
        for (const int count : {5, 12, 33}) {
            check_split(simple::rectangle(2, 2), 40, 40, count, even);
            check_split(simple::rectangle(2, 2), 40, 40, count, softer_middle);
            check_split(simple::rectangle(2, 2), 40, 40, count, lengthwise);  // the grid has the mirror, the film not
            check_split(simple::disc(2), 40, 40, count, even);
            check_split(simple::rectangle(3, 2), 42, 28, count, even);
        }
    }

    TEST_CASE("x and y of a disc's grid can be exchanged, those of a rectangle's or of unlike spacings cannot") {
        const Grid grid = make_grid(boundary(simple::disc(2)), 30, 30);
        const Mirror exchange = mirrors(grid).exchange;
        REQUIRE(exchange.size() == grid.nodes.size());
        for (std::size_t n = 0; n < exchange.size(); ++n) {
            const Node& image = grid.nodes[static_cast<std::size_t>(exchange[n])];
            CHECK(image.i == grid.nodes[n].j);
            CHECK(image.j == grid.nodes[n].i);
        }
        CHECK(mirrors(make_grid(boundary(simple::rectangle(3, 2)), 30, 30)).exchange.empty());
        CHECK(mirrors(make_grid(boundary(simple::rectangle(3, 2)), 30, 20)).exchange.empty());
    }

    TEST_CASE("the same problem gives the same bits, and a scaled one the scaled values") {
        const Membrane film;
        const Eigenpairs once = lowest_eigenpairs(film.stiffness, film.mass, 6);
        CHECK(once.values == lowest_eigenpairs(film.stiffness, film.mass, 6).values);
        const Eigenpairs scaled = lowest_eigenpairs(1e-9 * film.stiffness, 1e-3 * film.mass, 6);
        for (Eigen::Index k = 0; k < 6; ++k)
            CHECK(scaled.values[k] == sample::Approx(1e-6 * once.values[k]).epsilon(1e-10));
    }

    TEST_CASE("a stiffness with buckling directions has no answer and says how many") {
        const Membrane film;
        const Eigenpairs pairs = lowest_eigenpairs(film.stiffness, film.mass, 4);
        const SparseMatrix mass(film.mass.asDiagonal());
        const double between = 0.5 * (pairs.values[1] + pairs.values[2]);
        std::string text;
        try {
            (void)lowest_eigenpairs(film.stiffness - between * mass, film.mass, 4);
        } catch (const NoAnswer& refused) {
            text = refused.what();
        }
        CHECK(text.find("2 shape(s)") != std::string::npos);
    }

    TEST_CASE("more modes than nodes have no answer") {
        const Membrane film;
        CHECK_THROWS_AS((void)lowest_eigenpairs(film.stiffness, film.mass, 29 * 23), NoAnswer);
    }

    TEST_CASE("the static answer solves its equation") {
        const Membrane film;
        const Eigen::MatrixXd load = film.mass;
        const Eigen::MatrixXd w = solve_static(film.stiffness, load);
        CHECK((film.stiffness * w - load).norm() < 1e-10 * load.norm());
    }
}

#include "tymbal/grid/stencil.h"
#include "support/approx.h"

#include "tymbal/grid/corner_tension.h"
#include "tymbal/grid/operators.h"

#include "support/films.h"

#include <doctest/doctest.h>

#include <cmath>
#include <cstddef>

using namespace tymbal;

namespace {

/// A tension and mass that differ from cell to cell, with voids, cells of almost no film and one under compression.
struct Cells {
    CellTensor tension;
    std::vector<double> density;
};

Cells uneven(std::size_t count) {
    Cells cells{CellTensor(count), std::vector<double>(count)};
    for (std::size_t c = 0; c < count; ++c) {
        const double k = static_cast<double>(c);
        double share = 0.55 + 0.45 * std::sin(1.7 * k * k);
        if (c % 7 == 3) share = 0.0;
        if (c % 11 == 5) share = 1e-6;
        const double xx = c % 23 == 9 ? -0.02 : 1.0 + 0.4 * std::sin(k);
        cells.tension[c] = {share * xx, share * (1.0 + 0.3 * std::cos(3.0 * k)), share * 0.2 * std::sin(2.0 * k)};
        cells.density[c] = share * 2e-4;
    }
    return cells;
}

/// Largest difference between the lattice's matrices and the sparse ones, relative to their largest entry.
double difference(const LatticeFilm& film, const Grid& grid, const Cells& cells) {
    const SparseFilm sparse = to_sparse(film);
    const SparseMatrix whole = tension_matrix(grid, cells.tension);
    const Vector mass = mass_vector(grid, cells.density);
    std::vector<int> number(film.mass.size(), -1);
    for (std::size_t u = 0; u < sparse.place.size(); ++u) number[sparse.place[u]] = static_cast<int>(u);
    double worst = 0.0;
    const auto place = [&](Eigen::Index n) {
        const Node& node = grid.nodes[static_cast<std::size_t>(n)];
        return film.stiffness.at(node.i - 1, node.j - 1);
    };
    const double unit = whole.diagonal().cwiseAbs().maxCoeff();
    double seen = 0.0;
    for (Eigen::Index column = 0; column < whole.outerSize(); ++column) {
        const int b = number[place(column)];
        for (SparseMatrix::InnerIterator entry(whole, column); entry; ++entry) {
            const int a = number[place(entry.row())];
            const double here = a < 0 || b < 0 ? 0.0 : sparse.stiffness.coeff(a, b);
            worst = std::max(worst, std::abs(here - entry.value()) / unit);
            seen += std::abs(entry.value());
        }
        worst = std::max(worst, std::abs(film.mass[place(column)] - mass[column]) / mass.maxCoeff());
    }
    // Nothing in the lattice's matrix that is not in the other.
    double all = 0.0;
    for (Eigen::Index k = 0; k < sparse.stiffness.outerSize(); ++k)
        for (SparseMatrix::InnerIterator entry(sparse.stiffness, k); entry; ++entry) all += std::abs(entry.value());
    return std::max(worst, std::abs(all - seen) / seen);
}

}  // namespace

TEST_SUITE("unit") {
    TEST_CASE("the lattice holds the matrices of the cut grid, whatever the outline") {
        for (const Outline& outline : {simple::rectangle(3, 2), simple::disc(1), simple::ring(1, 0.4)}) {
            const Grid grid = make_grid(boundary(outline), 21, 18);
            const Cells cells = uneven(static_cast<std::size_t>(grid.cell_count()));
            CHECK(difference(lattice_film(grid, cells.tension, cells.density), grid, cells) < 1e-14);
        }
    }

    TEST_CASE("the cells of a rectangle give the same matrices without a grid, on one and on two threads") {
        const Grid grid = make_grid(boundary(simple::rectangle(3, 2)), 37, 45);
        const Cells cells = uneven(static_cast<std::size_t>(grid.cell_count()));
        for (const unsigned threads : {1U, 2U})
            CHECK(difference(
                      lattice_film(RectangleCells{37, 45, grid.dx, grid.dy}, cells.tension, cells.density, threads),
                      grid, cells) < 1e-14);
    }

    TEST_CASE("tension at corners: the same matrix by nodes and on the lattice, and its energy without a matrix") {
        const Grid grid = make_grid(boundary(simple::ring(1, 0.4)), 41, 44);
        CornerTensor tension(4 * grid.nodes.size());
        for (std::size_t c = 0; c < tension.size(); ++c) {
            const double k = static_cast<double>(c);
            if (c % 5 != 2)
                tension[c] = {1.0 + 0.3 * std::sin(k), 1.2 + 0.4 * std::cos(k * k), 0.2 * std::sin(3.0 * k)};
        }
        const SparseMatrix matrix = corner_tension_matrix(grid, tension);
        Eigen::MatrixXd shapes(static_cast<Eigen::Index>(grid.nodes.size()), 3);
        for (Eigen::Index n = 0; n < shapes.rows(); ++n)
            for (Eigen::Index k = 0; k < 3; ++k) shapes(n, k) = std::sin(1.0 + 0.37 * static_cast<double>(n * (k + 1)));
        const Vector one = corner_tension_energy(grid, tension, shapes, 1);
        for (Eigen::Index k = 0; k < 3; ++k)
            CHECK(one[k] == sample::Approx(shapes.col(k).dot(matrix * shapes.col(k))).epsilon(1e-12));
        CHECK(one == corner_tension_energy(grid, tension, shapes, 2));
        const std::vector<double> density(static_cast<std::size_t>(grid.cell_count()), 1.0);
        const LatticeFilm film = corner_lattice_film(grid, tension, density, 1);
        const LatticeFilm again = corner_lattice_film(grid, tension, density, 2);
        for (std::size_t n = 0; n < grid.nodes.size(); ++n) {
            const std::size_t place = film.stiffness.at(grid.nodes[n].i - 1, grid.nodes[n].j - 1);
            const auto at = static_cast<Eigen::Index>(n);
            CHECK(film.stiffness.star[place].centre == sample::Approx(matrix.coeff(at, at)).epsilon(1e-12));
            CHECK(film.stiffness.star[place].centre == again.stiffness.star[place].centre);
            CHECK(film.stiffness.star[place].north_west == again.stiffness.star[place].north_west);
        }
    }
}

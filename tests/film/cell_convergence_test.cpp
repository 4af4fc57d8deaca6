// Orders of convergence on raw grids of the unit cell, and the curved-edge treatment on a scalar problem with a known
// series.
#include "film/cell_bending.h"
#include "support/approx.h"

#include "tymbal/base/constants.h"
#include "tymbal/grid/operators.h"

#include <doctest/doctest.h>

#include <Eigen/SparseCholesky>

#include <cmath>
#include <functional>

using namespace tymbal;

namespace {

constexpr CellProblem square_cell{Lattice::square, HoleShape::circle, 0.5, 0.25, 0.3, 1e-3};

/// Effective conductivity over that of the sheet, holes insulating: the same corner triangles and areas as plane
/// stress.
double conductivity(const CellProblem& problem, int per_pitch) {
    const CellGrid cell = make_cell(problem, per_pitch);
    const Eigen::Index size = cell.nx * cell.ny;
    std::vector<Eigen::Triplet<double>> entries;
    Vector force = Vector::Zero(size);
    double uniform = 0.0;
    for (int j = 0; j < cell.ny; ++j) {
        for (int i = 0; i < cell.nx; ++i) {
            const auto areas = corner_areas(cell, i, j);
            for (std::size_t t = 0; t < 4; ++t) {
                const int a = i + (t % 2 == 1 ? 1 : 0), b = j + (t >= 2 ? 1 : 0);
                const int n0 = cell.node(a, b), nx = cell.node(t % 2 == 1 ? i : i + 1, b),
                          ny = cell.node(a, t >= 2 ? j : j + 1);
                const double sx = (t % 2 == 1 ? -1.0 : 1.0) / cell.dx, area = 0.5 * areas[t];
                if (area == 0.0) continue;
                const double wx = area / (cell.dx * cell.dx), wy = area / (cell.dy * cell.dy);
                for (const auto& [p, q, w] : {std::tuple{n0, nx, wx}, std::tuple{n0, ny, wy}}) {
                    entries.emplace_back(p, p, w);
                    entries.emplace_back(q, q, w);
                    entries.emplace_back(p, q, -w);
                    entries.emplace_back(q, p, -w);
                }
                force[n0] -= area * sx;
                force[nx] += area * sx;
                uniform += area;
            }
        }
    }
    for (Eigen::Index n = 0; n < size; ++n)
        entries.emplace_back(n, n, 1e-13);  // fixes the constant and nodes off the sheet
    SparseMatrix k(size, size);
    k.setFromTriplets(entries.begin(), entries.end());
    const Vector u = Eigen::SimplicialLDLT<SparseMatrix>(k).solve(-force);
    return (uniform + force.dot(u)) / (cell.width * cell.height);
}

/// Rayleigh's series as continued by Perrins, McKenzie and McPhedran, Proc. R. Soc. A 369, 207 (1979), for insulating
/// discs (coefficients from memory; the leading terms re-derived): square 0.305827, 1.402958, 0.013362; triangular
/// 0.075422, 1.060283, 0.000076.
double perrins_square(double f) {
    return 1.0 -
           2.0 * f /
               (1.0 + f - 0.305827 * std::pow(f, 4) / (1.0 - 1.402958 * std::pow(f, 8)) - 0.013362 * std::pow(f, 8));
}
double perrins_triangular(double f) {
    return 1.0 -
           2.0 * f /
               (1.0 + f - 0.075422 * std::pow(f, 6) / (1.0 - 1.060283 * std::pow(f, 12)) - 0.000076 * std::pow(f, 12));
}

double order(const std::function<double(int)>& figure, int cells) {
    const double a = figure(cells), b = figure(2 * cells), c = figure(4 * cells);
    return std::log2((a - b) / (b - c));
}

}  // namespace

TEST_SUITE("convergence") {
    TEST_CASE("conduction past insulating holes converges with order two to the series of Perrins") {
        const double f_square = constants::pi * 0.25 * 0.25, f_tri = f_square / (0.5 * std::sqrt(3.0));
        const CellProblem tri{Lattice::triangular, HoleShape::circle, 0.5, 0.25, 0.3, 1e-3};
        const double e1 = conductivity(square_cell, 20) - perrins_square(f_square);
        const double e2 = conductivity(square_cell, 40) - perrins_square(f_square);
        const double e3 = conductivity(square_cell, 80) - perrins_square(f_square);
        CAPTURE(e1);
        CAPTURE(e3);
        CHECK(std::log2(e1 / e2) > 1.8);
        CHECK(std::log2(e2 / e3) > 1.8);
        CHECK(conductivity(tri, 60) == sample::Approx(perrins_triangular(f_tri)).epsilon(5e-4).scale(1.0));
        CHECK(e1 > 0.0);  // an energy minimum over a smaller space lies above
    }

    TEST_CASE("stiffness and relaxed stress converge with order two") {
        const auto young = [](int n) { return solve_cell_stress(make_cell(square_cell, n), 0.25).stiffness(0, 0); };
        const auto relaxed = [](int n) {  // macroscopic stress kept by a film under equal-biaxial deposition strain
            const auto c = solve_cell_stress(make_cell(square_cell, n), 0.25).stiffness;
            return c(0, 0) + c(0, 1);
        };
        const auto shear = [](int n) { return solve_cell_stress(make_cell(square_cell, n), 0.25).stiffness(2, 2); };
        CHECK(order(relaxed, 24) > 1.8);
        CHECK(order(young, 32) > 1.8);  // rises towards two: 1.78 from 16 cells to a pitch on
        CHECK(order(shear, 32) > 1.8);  // 1.75 from 16 on
    }

    TEST_CASE("bending converges with order two, as plate and as tension shapes it") {
        const auto at = [](int n, double layer) {
            return solve_cell_bending(solve_cell_stress(make_cell(square_cell, n), 0.25), layer);
        };
        CHECK(order([&](int n) { return at(n, 0.3).plate(0, 0); }, 12) > 1.8);
        CHECK(order([&](int n) { return at(n, 0.3).curvature_energy(0, 0); }, 12) >
              1.5);  // its tension comes from plane stress
    }

    TEST_CASE("the largest stress at the hole's edge converges") {
        const auto peak = [](int n) {
            double most = 0.0;
            for (const Voigt3& row : edge_stress(solve_cell_stress(make_cell(square_cell, n), 0.25)))
                most = std::max(most, row[0] + row[1]);
            return most;
        };
        const double measured = order(peak, 24);  // of differences: the limit itself is not needed
        CAPTURE(measured);
        CHECK(measured > 1.8);
    }
}

#include "tymbal/grid/operators.h"
#include "support/approx.h"

#include "support/films.h"

#include <doctest/doctest.h>

#include <Eigen/SparseCholesky>

#include <cmath>
#include <functional>
#include <numbers>

using namespace tymbal;
using std::numbers::pi;

namespace {

const Outline l_shape = Polygon{{{0, 0}, {2, 0}, {2, 1}, {1, 1}, {1, 2}, {0, 2}}};
const Outline slanted = Polygon{{{0, 0}, {3, 1}, {2, 2.5}, {0.2, 1.7}}};
const Outline outlines[] = {simple::rectangle(3, 2), simple::disc(2), simple::ring(2, 0.4002), l_shape, slanted};

CellTensor uniform(const Grid& grid, std::array<double, 3> value) {
    return CellTensor(static_cast<std::size_t>(grid.cell_count()), value);
}

Vector nodal(const Grid& grid, const std::function<double(Point)>& f) {
    Vector w(static_cast<Eigen::Index>(grid.nodes.size()));
    for (std::size_t n = 0; n < grid.nodes.size(); ++n) w[static_cast<Eigen::Index>(n)] = f(grid.place(grid.nodes[n]));
    return w;
}

double asymmetry(const SparseMatrix& k) {
    return (k - SparseMatrix(k.transpose())).norm() / k.norm();
}

bool positive_definite(const SparseMatrix& k) {
    const Eigen::SimplicialLDLT<SparseMatrix> factor(k);
    return factor.info() == Eigen::Success && factor.vectorD().minCoeff() > 0.0;
}

/// Orthotropic extra stiffness in cells well away from the rim, none elsewhere.
CellStiffness patch(const Boundary& rim, const Grid& grid) {
    CellStiffness extra(static_cast<std::size_t>(grid.cell_count()));
    for (int j = 0; j + 1 < grid.rows; ++j)
        for (int i = 0; i + 1 < grid.columns; ++i)
            if (signed_distance(rim, grid.cell_centre(i, j)) > 3.0 * grid.dx)
                extra[static_cast<std::size_t>(grid.cell(i, j))] = {
                    {{0.9, 0.2, 0.1}, {0.2, 0.7, 0.05}, {0.1, 0.05, 0.3}}};
    return extra;
}

/// w' K w of the clamped disc's shape (1 - r^2)^2 against its exact energy.
double plate_energy_error(int cells) {
    const Grid grid = make_grid(boundary(simple::disc(2)), cells, cells);
    const Vector w = nodal(grid, [](Point p) { return std::pow(1.0 - p.x * p.x - p.y * p.y, 2); });
    const double exact =
        64.0 * pi / 3.0;  // int (8 - 16 r^2)^2 dA = 2 pi int (64 - 256 r^2 + 256 r^4) r dr, laplacian 16 r^2 - 8
    return w.dot(bending_matrix(grid, 1.0, {}, RimBending::clamped) * w) / exact - 1.0;
}

}  // namespace

TEST_SUITE("invariant") {
    TEST_CASE("tension and bending matrices are symmetric and positive on every outline, shear tension included") {
        for (const Outline& outline : outlines) {
            const Boundary rim = boundary(outline);
            for (const int cells : {20, 33, 48}) {
                const Grid grid = make_grid(rim, cells, cells);
                const SparseMatrix pull = tension_matrix(grid, uniform(grid, {1.0, 0.8, 0.3}));
                CHECK(asymmetry(pull) < 1e-15);
                CHECK(positive_definite(pull));
                for (const RimBending at_rim : {RimBending::free_slope, RimBending::clamped}) {
                    const SparseMatrix bend = bending_matrix(grid, 1.0, patch(rim, grid), at_rim);
                    CHECK(asymmetry(bend) < 1e-15);
                    CHECK(positive_definite(bend));
                }
            }
        }
    }

    TEST_CASE("clamping adds energy and never takes any") {
        const Grid grid = make_grid(boundary(simple::disc(2)), 30, 30);
        const SparseMatrix gain =
            bending_matrix(grid, 1.0, {}, RimBending::clamped) - bending_matrix(grid, 1.0, {}, RimBending::free_slope);
        for (Eigen::Index k = 0; k < gain.rows(); ++k) CHECK(gain.coeff(k, k) >= 0.0);
    }

    TEST_CASE("a mirrored outline has the mirrored matrix: same energy of the mirrored shape") {
        const Outline mirrored = Polygon{{{0, 0}, {-0.2, 1.7}, {-2, 2.5}, {-3, 1}}};
        const auto shape = [](Point p) { return std::sin(p.x * p.x + 0.3 * p.x) * p.y; };
        const Grid a = make_grid(boundary(slanted), 40, 40), b = make_grid(boundary(mirrored), 40, 40);
        const Vector wa = nodal(a, shape), wb = nodal(b, [&](Point p) { return shape({-p.x, p.y}); });
        REQUIRE(a.nodes.size() == b.nodes.size());
        const auto tension_energy = [](const Grid& g, const Vector& w, double shear) {
            return w.dot(tension_matrix(g, uniform(g, {1.0, 0.8, shear})) * w);
        };
        CHECK(tension_energy(a, wa, 0.2) == sample::Approx(tension_energy(b, wb, -0.2)).epsilon(1e-10));
        CHECK(wa.dot(bending_matrix(a, 1.0, {}, RimBending::clamped) * wa) ==
              sample::Approx(wb.dot(bending_matrix(b, 1.0, {}, RimBending::clamped) * wb)).epsilon(1e-8));
    }
}

TEST_SUITE("unit") {
    TEST_CASE("mass is density times area to first order in the rim's cells, weights to second") {
        for (const Outline& outline : outlines) {
            const Boundary rim = boundary(outline);
            const Grid grid = make_grid(rim, 80, 80);
            const std::vector<double> density(static_cast<std::size_t>(grid.cell_count()), 2.0);
            const double spacing = std::max(grid.dx, grid.dy);
            CHECK(std::abs(mass_vector(grid, density).sum() - 2.0 * area(rim)) < 2.0 * perimeter(rim) * spacing);
            // w = 0 on the rim: an integral of the distance from it does not see the rim's cells to second order.
            const Vector w = nodal(grid, [&](Point p) { return signed_distance(rim, p); });
            const Grid fine = make_grid(rim, 320, 320);
            const Vector w_fine = nodal(fine, [&](Point p) { return signed_distance(rim, p); });
            CHECK(w.dot(area_vector(grid)) == sample::Approx(w_fine.dot(area_vector(fine))).epsilon(3e-3));
        }
    }

    TEST_CASE("the slope integral round a disc is that of the Bessel mode") {
        // contour (dw/dn)^2 of J0(j r) on the unit circle = 2 pi j^2 J1(j)^2, j = 2.404825557695773 (Abramowitz &
        // Stegun 9.5).
        const double j = 2.404825557695773;
        const double exact = 2.0 * pi * std::pow(j * std::cyl_bessel_j(1, j), 2);
        const Grid grid = make_grid(boundary(simple::disc(2)), 100, 100);
        double sum = 0.0, inner = 0.0;
        for (const RimTouch& t : rim_touches(grid, nodal(grid, [j](Point p) {
                                                 return std::cyl_bessel_j(0, j * std::min(1.0, std::hypot(p.x, p.y)));
                                             }))) {
            sum += t.slope2_ds;
            inner += t.loop == 1 ? t.slope2_ds : 0.0;
        }
        CHECK(sum == sample::Approx(exact).epsilon(2e-3));
        CHECK(inner == 0.0);
    }
}

TEST_SUITE("convergence") {
    TEST_CASE("the plate energy of a smooth clamped shape on a disc converges") {
        double coarse = 0.0, fine = 0.0;  // means over neighbouring grids: the cut cells scatter
        for (const int extra : {0, 2, 4, 6}) {
            coarse += std::abs(plate_energy_error(40 + extra));
            fine += std::abs(plate_energy_error(160 + 4 * extra));
        }
        const double order = std::log(coarse / fine) / std::log(4.0);
        MESSAGE("order of the interpolated shape's energy: ", order);
        CHECK(order >
              0.9);  // interpolation is not the minimiser: the rim's terms are first order for it, the modes are second
    }
}

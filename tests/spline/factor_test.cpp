#include "spline/factor.h"
#include "spline/modes.h"
#include "spline/plane_balance.h"

#include "tymbal/geometry/boundary.h"

#include "support/approx.h"

#include <doctest/doctest.h>

#include <Eigen/Eigenvalues>

#include <algorithm>

using namespace tymbal;
using namespace tymbal::spline;

namespace {

struct Solved {
    Cells cells;
    Space space;
    Plate plate;
};

Solved holed_square(double h) {
    const Region region =
        film_region(rectangle_figure({0.5, 0.5}, {1.0, 1.0}, 0.0, 0.3), {circle_figure({0.45, 0.55}, 0.4)}, h);
    Solved out{cut_cells(region, frame_of(region, h)), {}, {}};
    out.space = make_space(out.cells);
    out.plate = plate(out.cells, out.space, relax(out.cells, out.space, {1.0, 0.23, 4e-4, 1.0, 1.0}));
    return out;
}

Eigen::MatrixXd dense(const SparseMatrix& lower) {
    const Eigen::MatrixXd half = lower;
    return half.selfadjointView<Eigen::Lower>();
}

/// All eigenvalues, rising, from M v = (1/value) K v: the stiffness is well conditioned, the mass of slivers is next to
/// none.
Vector dense_values(const Plate& plate) {
    const Eigen::GeneralizedSelfAdjointEigenSolver<Eigen::MatrixXd> inverse(dense(plate.mass), dense(plate.stiffness));
    return inverse.eigenvalues().reverse().cwiseInverse();
}

}  // namespace

TEST_SUITE("unit") {
    TEST_CASE("the factors solve, and their signs count eigenvalues below a shift") {
        const Solved s = holed_square(0.05);
        const Eigen::MatrixXd k = dense(s.plate.stiffness), m = dense(s.plate.mass);
        const Vector exact = dense_values(s.plate);
        CHECK(Factor(s.plate.stiffness, s.space, 1).negative() == 0);
        for (const Eigen::Index below : {1, 7, 40}) {
            const double shift = 0.5 * (exact[below - 1] + exact[below]);
            const Factor factor(s.plate.stiffness - shift * s.plate.mass, s.space, 1);
            CHECK(factor.negative() == below);
            const Eigen::VectorXd b = Eigen::VectorXd::LinSpaced(k.rows(), -1.0, 1.0);
            const Eigen::VectorXd x = factor.solve(b);
            CHECK(((k - shift * m) * x - b).norm() < 1e-10 * b.norm());
        }
    }

    TEST_CASE("modes nearest to a shift are the dense solution's, with their place in the spectrum") {
        const Solved s = holed_square(0.06);
        const Vector exact = dense_values(s.plate);
        const Eigenpairs lowest = nearest_modes(s.plate, s.space, 8, 0.0);
        for (Eigen::Index k = 0; k < 8; ++k) CHECK(lowest.values[k] == sample::Approx(exact[k]).epsilon(1e-9));
        CHECK(lowest.below == 0);
        const double shift = 0.4 * exact[20] + 0.6 * exact[21];
        const Eigenpairs inside = nearest_modes(s.plate, s.space, 5, shift);
        CHECK(inside.below == 21);
        std::vector<double> near(exact.data(), exact.data() + exact.size());
        std::sort(near.begin(), near.end(),
                  [&](double a, double b) { return std::abs(a - shift) < std::abs(b - shift); });
        near.resize(5);
        std::sort(near.begin(), near.end());
        for (std::size_t k = 0; k < 5; ++k)
            CHECK(inside.values[static_cast<Eigen::Index>(k)] == sample::Approx(near[k]).epsilon(1e-9));
    }
}

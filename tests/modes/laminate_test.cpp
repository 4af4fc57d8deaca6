#include "support/approx.h"
#include "tymbal/film/film_map.h"

#include <doctest/doctest.h>

#include <Eigen/Dense>

#include <cmath>

using namespace tymbal;

namespace {

Eigen::Matrix3d matrix(const Voigt& v) {
    Eigen::Matrix3d m;
    for (int r = 0; r < 3; ++r)
        for (int c = 0; c < 3; ++c) m(r, c) = v[static_cast<std::size_t>(r)][static_cast<std::size_t>(c)];
    return m;
}

Voigt isotropic(double e, double nu) {
    const double a = e / (1.0 - nu * nu);
    return {{{a, a * nu, 0.0}, {a * nu, a, 0.0}, {0.0, 0.0, 0.5 * e / (1.0 + nu)}}};
}

constexpr Voigt odd{{{3.0, 0.7, 0.3}, {0.7, 2.0, -0.2}, {0.3, -0.2, 1.1}}};

/// Two strips side by side across x, solved directly: strain_yy common, stress_xx and stress_xy common; unknowns are
/// the strains (xx, xy) of both for a given mean strain. Returns the mean stress per unit mean strain.
Eigen::Matrix3d strip(const Voigt& va, const Voigt& vb, double share) {
    const Eigen::Matrix3d a = matrix(va), b = matrix(vb);
    Eigen::Matrix3d mean;
    for (int load = 0; load < 3; ++load) {
        const Eigen::Vector3d strain = Eigen::Vector3d::Unit(load);
        Eigen::Matrix4d system = Eigen::Matrix4d::Zero();  // a_xx, a_xy, b_xx, b_xy
        Eigen::Vector4d right = Eigen::Vector4d::Zero();
        for (int r = 0; r < 2; ++r) {
            const int row = 2 * r;  // stress_xx and stress_xy continuous
            system.row(r) << a(row, 0), a(row, 2), -b(row, 0), -b(row, 2);
            right[r] = (b(row, 1) - a(row, 1)) * strain[1];
            system(2 + r, r) = 1.0 - share;
            system(2 + r, 2 + r) = share;
            right[2 + r] = strain[row];
        }
        const Eigen::Vector4d x = system.fullPivLu().solve(right);
        mean.col(load) = (1.0 - share) * a * Eigen::Vector3d(x[0], strain[1], x[1]) +
                         share * b * Eigen::Vector3d(x[2], strain[1], x[3]);
    }
    return mean;
}

}  // namespace

TEST_SUITE("reference") {
    TEST_CASE("two strips across x carry what the directly solved pair carries") {
        const Voigt a = isotropic(1.0, 0.25), b = isotropic(0.2, 0.1);
        for (const double share : {0.1, 0.5, 0.8}) {
            CHECK((matrix(laminate(a, b, share, {1, 0})) - strip(a, b, share)).norm() < 1e-13);
            CHECK((matrix(laminate(a, odd, share, {1, 0})) - strip(a, odd, share)).norm() < 1e-13);
        }
    }

    TEST_CASE("springs in a row and side by side: without lateral contraction the classical means") {
        const Voigt a = isotropic(1.0, 0.0), b = isotropic(0.25, 0.0);
        const Eigen::Matrix3d m = matrix(laminate(a, b, 0.5, {1, 0}));
        CHECK(m(0, 0) == sample::Approx(0.4));    // harmonic mean across the layers
        CHECK(m(1, 1) == sample::Approx(0.625));  // arithmetic mean along them
        CHECK(m(2, 2) == sample::Approx(0.2));    // harmonic in shear
    }
}

TEST_SUITE("invariant") {
    TEST_CASE("no share and full share give the one or the other film, equal films stay as they are") {
        const Voigt a = isotropic(1.0, 0.25);
        CHECK((matrix(laminate(a, odd, 0.0, {0.6, 0.8})) - matrix(a)).norm() < 1e-14);
        CHECK((matrix(laminate(a, odd, 1.0, {0.6, 0.8})) - matrix(odd)).norm() < 1e-14);
        CHECK((matrix(laminate(odd, odd, 0.3, {0.6, 0.8})) - matrix(odd)).norm() < 1e-14);
    }

    TEST_CASE("turning both films and the line between them turns the laminate") {
        const Voigt a = isotropic(1.0, 0.25);
        for (const double angle : {0.3, 1.0, 2.2}) {
            const Voigt turned = rotated(laminate(a, odd, 0.4, {1, 0}), angle);
            const Voigt of_turned =
                laminate(rotated(a, angle), rotated(odd, angle), 0.4, {std::cos(angle), std::sin(angle)});
            CHECK((matrix(turned) - matrix(of_turned)).norm() < 1e-13);
        }
    }

    TEST_CASE("a laminate lies between the bounds of Voigt and Reuss") {
        const Voigt a = isotropic(1.0, 0.25);
        for (const double share : {0.2, 0.5, 0.9}) {
            const Eigen::Matrix3d m = matrix(laminate(a, odd, share, {0.8, 0.6}));
            const Eigen::Matrix3d upper = (1.0 - share) * matrix(a) + share * matrix(odd);
            const Eigen::Matrix3d lower =
                ((1.0 - share) * matrix(a).inverse() + share * matrix(odd).inverse()).inverse();
            CHECK(Eigen::SelfAdjointEigenSolver<Eigen::Matrix3d>(upper - m).eigenvalues().minCoeff() > -1e-13);
            CHECK(Eigen::SelfAdjointEigenSolver<Eigen::Matrix3d>(m - lower).eigenvalues().minCoeff() > -1e-13);
        }
    }
}

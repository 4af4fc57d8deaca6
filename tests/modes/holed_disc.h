// A disc with a free hole as an equation of the radius alone: it knows nothing of grids or splines.
#pragma once

#include "support/films.h"

#include "tymbal/base/constants.h"

#include <Eigen/Dense>
#include <Eigen/SparseCholesky>

#include <array>
#include <cmath>
#include <vector>

namespace tymbal {

/// A disc of radius R, clamped outside, with a central free hole of radius a.
struct HoledDisc {
    double R = 100e-6, a = 30e-6;
    PaintedFilm film = simple::nitride(50e-9, 1e9);

    /// Lame's solution (Timoshenko and Goodier, Theory of Elasticity, 3rd ed., section 28, from memory, re-derived): u
    /// = A r
    /// + B/r with u(R) = 0 and no radial stress at a. @param sign  +1 radial, -1 tangential
    [[nodiscard]] double stress(double r, double sign) const {
        const double nu = film.poisson_ratio, q = R * R / (a * a);
        const double scaled = -film.stress / ((1.0 + nu) + (1.0 - nu) * q);  // A E/(1 - nu^2)
        return film.stress + scaled * ((1.0 + nu) + sign * (1.0 - nu) * R * R / (r * r));
    }
    [[nodiscard]] double mean_stress() const {
        // The hole's edge is free and the rim clamped: the mean of (rr + tt)/2 is the uniform part.
        const double nu = film.poisson_ratio, q = R * R / (a * a);
        return film.stress * (1.0 - (1.0 + nu) / ((1.0 + nu) + (1.0 - nu) * q));
    }
};

struct Radial {
    double frequency = 0.0;
    double curvature = 0.0;  ///< twice the bending energy per unit int m w^2, 1/s^2
};

/// Lowest mode with d nodal diameters from linear elements along the radius, 4000 of them.
inline Radial radial_mode(const HoledDisc& disc, int d) {
    constexpr int n = 4000;
    const PaintedFilm& film = disc.film;
    const double dr = (disc.R - disc.a) / n, h = film.thickness;
    std::vector<Eigen::Triplet<double>> entries;
    Eigen::VectorXd mass = Eigen::VectorXd::Zero(n);
    const auto add = [&](int i, int j, double v) {
        if (i < n && j < n) entries.emplace_back(i, j, v);
    };
    for (int e = 0; e < n; ++e) {
        const double r = disc.a + (e + 0.5) * dr, pull = h * disc.stress(r, 1.0) * r / dr;
        add(e, e, pull), add(e + 1, e + 1, pull), add(e, e + 1, -pull), add(e + 1, e, -pull);
        for (const int p : {e, e + 1}) {
            const double at = disc.a + p * dr;
            add(p, p, h * disc.stress(at, -1.0) * d * d / at * 0.5 * dr);
            if (p < n) mass[p] += film.density * h * at * 0.5 * dr;
        }
    }
    Eigen::SparseMatrix<double> stiffness(n, n);
    stiffness.setFromTriplets(entries.begin(), entries.end());
    const Eigen::SimplicialLDLT<Eigen::SparseMatrix<double>> factor(stiffness);
    Eigen::VectorXd w = Eigen::VectorXd::Ones(n);
    for (int step = 0; step < 60; ++step) {
        w = factor.solve(Eigen::VectorXd(mass.cwiseProduct(w)));
        w /= std::sqrt(w.dot(mass.cwiseProduct(w)));
    }
    Radial out;
    out.frequency = std::sqrt(w.dot(stiffness * w)) / (2.0 * constants::pi);
    const double nu = film.poisson_ratio;
    for (int i = 1; i + 1 < n; ++i) {
        const double r = disc.a + i * dr, slope = (w[i + 1] - w[i - 1]) / (2.0 * dr);
        const double rr = (w[i + 1] - 2.0 * w[i] + w[i - 1]) / (dr * dr);
        const double tt = slope / r - d * d * w[i] / (r * r), rt = d * (slope / r - w[i] / (r * r));
        out.curvature += film.bending() * dr * r * ((rr + tt) * (rr + tt) - 2.0 * (1.0 - nu) * (rr * tt - rt * rt));
    }
    return out;
}

struct RadialPlate {
    double frequency = 0.0, bending_share = 0.0;
    double sag = 0.0;  ///< at the hole's edge per pressure, m/Pa, with d = 0
};

/// Lowest mode with d nodal diameters of the film as a plate in tension: Hermite cubics along the radius, crowded
/// towards the clamped rim, lengths in units of the disc's radius. Energies as in Timoshenko and Woinowsky-Krieger,
/// Theory of Plates and Shells, ch. 3 and 9 (from memory, re-derived): it knows nothing of grids or splines.
inline RadialPlate radial_plate(const HoledDisc& disc, int d) {
    constexpr int n = 120;
    const PaintedFilm& film = disc.film;
    const double h = film.thickness, nu = film.poisson_ratio, full = film.stress * h;
    const double stiff = film.bending() / (full * disc.R * disc.R);
    const auto node = [&](int k) { return 1.0 - (1.0 - disc.a / disc.R) * std::pow(1.0 - 1.0 * k / n, 2); };
    Eigen::MatrixXd pull = Eigen::MatrixXd::Zero(2 * n + 2, 2 * n + 2), bend = pull, mass = pull;
    Eigen::VectorXd push = Eigen::VectorXd::Zero(2 * n + 2);
    constexpr std::array<double, 4> at{-0.8611363115940526, -0.3399810435848563, 0.3399810435848563,
                                       0.8611363115940526};
    constexpr std::array<double, 4> weight{0.3478548451374538, 0.6521451548625461, 0.6521451548625461,
                                           0.3478548451374538};
    for (int e = 0; e < n; ++e) {
        const double from = node(e), length = node(e + 1) - from;
        for (std::size_t g = 0; g < at.size(); ++g) {
            const double t = 0.5 * (1.0 + at[g]), r = from + t * length, w = 0.5 * weight[g] * length * r;
            const Eigen::Vector4d value{1 - 3 * t * t + 2 * t * t * t, length * t * (1 - t) * (1 - t),
                                        t * t * (3 - 2 * t), length * t * t * (t - 1)};
            const Eigen::Vector4d slope{6 * t * (t - 1) / length, (1 - t) * (1 - 3 * t), 6 * t * (1 - t) / length,
                                        t * (3 * t - 2)};
            const Eigen::Vector4d curve{(12 * t - 6) / (length * length), (6 * t - 4) / length,
                                        (6 - 12 * t) / (length * length), (6 * t - 2) / length};
            const Eigen::Vector4d round = slope / r - d * d * value / (r * r);
            const Eigen::Vector4d twist = d * (slope / r - value / (r * r));
            const Eigen::Vector4d both = curve + round;
            const Eigen::Matrix4d mixed = curve * round.transpose() - twist * twist.transpose();
            bend.block<4, 4>(2 * e, 2 * e) +=
                w * stiff * (both * both.transpose() - (1 - nu) * (mixed + mixed.transpose()));
            pull.block<4, 4>(2 * e, 2 * e) +=
                w / film.stress *
                (disc.stress(r * disc.R, 1.0) * slope * slope.transpose() +
                 disc.stress(r * disc.R, -1.0) * d * d / (r * r) * value * value.transpose());
            mass.block<4, 4>(2 * e, 2 * e) += w * value * value.transpose();
            push.segment<4>(2 * e) += w * value;
        }
    }
    const Eigen::Index free = 2 * n;  // the last node is clamped
    const Eigen::MatrixXd b = bend.topLeftCorner(free, free), all = b + pull.topLeftCorner(free, free);
    const Eigen::MatrixXd m = mass.topLeftCorner(free, free);
    const Eigen::LDLT<Eigen::MatrixXd> factor(all);
    Eigen::VectorXd lowest = Eigen::VectorXd::Zero(free);
    for (int k = 0; k < n; ++k) lowest[2 * k] = 1.0 - node(k);
    for (int step = 0; step < 60; ++step) {
        lowest = factor.solve(m * lowest);
        lowest /= std::sqrt(lowest.dot(m * lowest));
    }
    const double square = lowest.dot(all * lowest);
    return {std::sqrt(square * film.stress / film.density) / (2.0 * constants::pi * disc.R),
            lowest.dot(b * lowest) / square, factor.solve(push.head(free))[0] * disc.R * disc.R / full};
}

}  // namespace tymbal

#include "cell_bending.h"

#include "tymbal/base/error.h"
#include "tymbal/grid/operators.h"

#include <Eigen/SparseCholesky>

#include <cmath>

namespace tymbal {

namespace {

using Local = Eigen::Matrix<double, 9, 9>;
using Rows = Eigen::Matrix<double, 3, 9>;  // (w_xx, w_yy, 2 w_xy) of the nine splines of a grid cell
using Slopes = Eigen::Matrix<double, 2, 9>;
using Values = Eigen::Matrix<double, 1, 9>;

/// Quadratic B-splines on a cell, t in 0..1: value, first and second derivative of the three that overlap it.
struct Spline {
    std::array<double, 3> value, first, second;
};

Spline spline(double t) {
    return {{0.5 * (1.0 - t) * (1.0 - t), 0.5 + t - t * t, 0.5 * t * t}, {t - 1.0, 1.0 - 2.0 * t, t}, {1.0, -2.0, 1.0}};
}

struct Basis {
    Rows curvature;
    Slopes slope;
    Values value;
};

Basis basis_at(const CellGrid& cell, double x, double y) {
    const Spline sx = spline(x), sy = spline(y);
    Basis b;
    for (int q = 0; q < 3; ++q) {
        for (int p = 0; p < 3; ++p) {
            const auto m = static_cast<std::size_t>(p), n = static_cast<std::size_t>(q);
            const int k = p + 3 * q;
            b.curvature(0, k) = sx.second[m] * sy.value[n] / (cell.dx * cell.dx);
            b.curvature(1, k) = sx.value[m] * sy.second[n] / (cell.dy * cell.dy);
            b.curvature(2, k) = 2.0 * sx.first[m] * sy.first[n] / (cell.dx * cell.dy);
            b.slope(0, k) = sx.first[m] * sy.value[n] / cell.dx;
            b.slope(1, k) = sx.value[m] * sy.first[n] / cell.dy;
            b.value(0, k) = sx.value[m] * sy.value[n];
        }
    }
    return b;
}

/// Local integrals of one grid cell.
struct Piece {
    Local bend = Local::Zero();
    Local pull = Local::Zero();
    Eigen::Matrix<double, 9, 3> moment = Eigen::Matrix<double, 9, 3>::Zero();  ///< of unit macroscopic curvatures
    Eigen::Matrix<double, 9, 3> push = Eigen::Matrix<double, 9, 3>::Zero();    ///< N : curvature
    Values film = Values::Zero();
    double area = 0.0;
};

/// Moments per curvature of the solid plate over D.
Eigen::Matrix3d plate_matrix(double nu) {
    return (1.0 - nu * nu) * plane_stress(nu);
}

/// Relaxed stress under equal-biaxial macroscopic strain at a point of a grid cell: mean of the two diagonals'
/// triangles.
Eigen::Vector3d relaxed_stress(const CellStress& s, int i, int j, double x, double y) {
    const std::size_t one = x + y < 1.0 ? 0 : 3;
    const std::size_t other = x > y ? 1 : 2;
    Eigen::Vector3d sum = Eigen::Vector3d::Zero();
    for (const int k : {0, 1}) sum += 0.5 * (s.stress(i, j, one, k) + s.stress(i, j, other, k));
    return sum;
}

Piece integrate(const CellStress& s, int i, int j, double tension_scale, bool with_tension, const Eigen::Matrix3d& d) {
    bool whole = false;
    Piece piece;
    for (const FilmPoint& p : film_points(s.cell, i, j, whole)) {
        const Basis b = basis_at(s.cell, p.x, p.y);
        const Eigen::Matrix<double, 9, 3> bd = p.weight * b.curvature.transpose() * d;
        piece.bend += bd * b.curvature;
        piece.moment += bd;
        piece.film += p.weight * b.value;
        piece.area += p.weight;
        if (!with_tension) continue;
        const Eigen::Vector3d n = tension_scale * relaxed_stress(s, i, j, p.x, p.y);
        Eigen::Matrix2d pull;
        pull << n[0], n[2], n[2], n[1];
        piece.pull += p.weight * b.slope.transpose() * pull * b.slope;
        piece.push += p.weight * b.value.transpose() * n.transpose();
    }
    return piece;
}

struct System {
    std::vector<Eigen::Triplet<double>> bend, pull;
    Eigen::MatrixXd moment, push;
    Vector film;
    double area = 0.0;
};

int unknown(const CellGrid& cell, int i, int j, int k) {
    return cell.node(i + k % 3 - 1, j + k / 3 - 1);
}

System assemble(const CellStress& s, bool with_tension, const Eigen::Matrix3d& d) {
    const CellGrid& cell = s.cell;
    const Eigen::Index size = cell.nx * cell.ny;
    // Scaled so that the cell mean of the tension is one.
    const double scale = 1.0 / (s.stiffness(0, 0) + s.stiffness(0, 1));
    System out{{}, {}, Eigen::MatrixXd::Zero(size, 3), Eigen::MatrixXd::Zero(size, 3), Vector::Zero(size), 0.0};
    out.bend.reserve(static_cast<std::size_t>(size) * 81);
    if (with_tension) out.pull.reserve(static_cast<std::size_t>(size) * 81);
    for (int j = 0; j < cell.ny; ++j) {
        for (int i = 0; i < cell.nx; ++i) {
            const Piece piece = integrate(s, i, j, scale, with_tension, d);
            if (piece.area == 0.0) continue;
            out.area += piece.area;
            for (int p = 0; p < 9; ++p) {
                const int row = unknown(cell, i, j, p);
                out.moment.row(row) += piece.moment.row(p);
                out.push.row(row) += piece.push.row(p);
                out.film[row] += piece.film[p];
                for (int q = 0; q < 9; ++q) {
                    out.bend.emplace_back(row, unknown(cell, i, j, q), piece.bend(p, q));
                    if (with_tension) out.pull.emplace_back(row, unknown(cell, i, j, q), piece.pull(p, q));
                }
            }
        }
    }
    return out;
}

SparseMatrix to_sparse(const std::vector<Eigen::Triplet<double>>& entries, Eigen::Index size) {
    SparseMatrix m(size, size);
    m.setFromTriplets(entries.begin(), entries.end());
    return m;
}

/// Solves K x = f for a K that leaves a constant free and may have unknowns without film: the first supported one and
/// the unsupported ones are held at zero.
Eigen::MatrixXd solve_free(SparseMatrix k, Eigen::MatrixXd f) {
    const Vector diagonal = k.diagonal();
    const double least = 1e-11 * diagonal.maxCoeff();
    std::vector<bool> held(static_cast<std::size_t>(k.rows()), false);
    bool pinned = false;
    for (Eigen::Index n = 0; n < k.rows(); ++n) {
        const bool supported = diagonal[n] > least;
        held[static_cast<std::size_t>(n)] = !supported || !pinned;
        pinned = pinned || supported;
    }
    k.prune([&](Eigen::Index r, Eigen::Index c, double) {
        return r == c || (!held[static_cast<std::size_t>(r)] && !held[static_cast<std::size_t>(c)]);
    });
    for (Eigen::Index n = 0; n < k.rows(); ++n) {
        if (!held[static_cast<std::size_t>(n)]) continue;
        k.coeffRef(n, n) = diagonal.maxCoeff();
        f.row(n).setZero();
    }
    const Eigen::SimplicialLDLT<SparseMatrix> factor(k);
    if (factor.info() != Eigen::Success)
        throw NoAnswer(
            "the bending problem of the unit cell cannot be factored; the ligaments are too thin for the grid, use "
            "smaller holes or a larger pitch");
    return factor.solve(f);
}

Eigen::Matrix3d symmetric(const Eigen::Matrix3d& m) {
    return 0.5 * (m + m.transpose());
}

}  // namespace

CellBending solve_cell_bending(const CellStress& stress, double layer) {
    const Eigen::Matrix3d d = plate_matrix(stress.poisson_ratio);
    const bool with_tension = std::isfinite(layer);
    const System s = assemble(stress, with_tension, d);
    const Eigen::Index size = s.moment.rows();
    const double cell_area = stress.cell.width * stress.cell.height;
    const SparseMatrix bend = to_sparse(s.bend, size);
    const Eigen::Matrix3d uniform = s.area * d;

    CellBending out;
    const Eigen::MatrixXd bent = solve_free(bend, -s.moment);
    out.plate = symmetric((uniform + s.moment.transpose() * bent) / cell_area);
    out.curvature_energy = out.plate;
    if (!with_tension) return out;
    // Tension pushes with N : curvature, and the film's inertia (load on film alone) holds its mean in balance.
    Eigen::MatrixXd push = s.push;
    for (int k = 0; k < 3; ++k) push.col(k) -= s.push.col(k).sum() / s.area * s.film;
    const double pull_share = 1.0 / (layer * layer);
    const SparseMatrix stiffness = bend + pull_share * to_sparse(s.pull, size);
    const Eigen::MatrixXd shape = solve_free(stiffness, pull_share * push - s.moment);
    const Eigen::MatrixXd bent_shape = bend * shape;
    const Eigen::Matrix3d cross = s.moment.transpose() * shape;
    out.curvature_energy =
        symmetric((uniform + cross + cross.transpose() + shape.transpose() * bent_shape) / cell_area);
    return out;
}

}  // namespace tymbal

#include "cell_stress.h"

#include "tymbal/base/constants.h"
#include "tymbal/base/error.h"
#include "tymbal/geometry/lattice.h"
#include "tymbal/grid/operators.h"

#include <Eigen/SparseCholesky>

#include <cmath>

namespace tymbal {

namespace {

struct CellCorner {
    std::array<int, 3> node{};            ///< the corner itself, its neighbour along x, its neighbour along y
    double slope_x = 0.0, slope_y = 0.0;  ///< 1/(signed distance) to those neighbours
};

CellCorner corner(const CellGrid& cell, int i, int j, std::size_t t) {
    const int a = i + (t % 2 == 1 ? 1 : 0), b = j + (t >= 2 ? 1 : 0);
    const int other_a = t % 2 == 1 ? i : i + 1, other_b = t >= 2 ? j : j + 1;
    return {{cell.node(a, b), cell.node(other_a, b), cell.node(a, other_b)},
            (other_a - a) / cell.dx,
            (other_b - b) / cell.dy};
}

/// Strain (xx, yy, gamma) of a corner triangle as a 3 x 6 matrix on (ux, uy) of its three nodes.
Eigen::Matrix<double, 3, 6> strain_matrix(const CellCorner& c) {
    Eigen::Matrix<double, 3, 6> b = Eigen::Matrix<double, 3, 6>::Zero();
    b(0, 0) = -c.slope_x;
    b(0, 2) = c.slope_x;
    b(1, 1) = -c.slope_y;
    b(1, 5) = c.slope_y;
    b(2, 0) = -c.slope_y;
    b(2, 4) = c.slope_y;
    b(2, 1) = -c.slope_x;
    b(2, 3) = c.slope_x;
    return b;
}

int unknown(const CellCorner& c, int local) {
    return 2 * c.node[static_cast<std::size_t>(local / 2)] + local % 2;
}

/// Nodes without film are held, and one node with film, so that the translation is fixed.
std::vector<bool> held_nodes(const std::vector<bool>& supported) {
    std::vector<bool> held(supported.size());
    bool pinned = false;
    for (std::size_t n = 0; n < supported.size(); ++n) {
        held[n] = !supported[n] || !pinned;
        if (supported[n]) pinned = true;
    }
    return held;
}

struct Assembled {
    SparseMatrix stiffness;
    Eigen::MatrixXd force;    ///< B' C e for the three macroscopic strains
    Eigen::Matrix3d uniform;  ///< energy of the macroscopic strains alone
};

Assembled assemble(const CellStress& s, const std::vector<bool>& held) {
    const CellGrid& cell = s.cell;
    const Eigen::Matrix3d c = plane_stress(s.poisson_ratio);
    const auto size = static_cast<Eigen::Index>(2 * held.size());
    Assembled out{SparseMatrix(size, size), Eigen::MatrixXd::Zero(size, 3), Eigen::Matrix3d::Zero()};
    std::vector<Eigen::Triplet<double>> entries;
    entries.reserve(static_cast<std::size_t>(size) * 72);
    for (int j = 0; j < cell.ny; ++j) {
        for (int i = 0; i < cell.nx; ++i) {
            for (std::size_t t = 0; t < 4; ++t) {
                const double area = 0.5 * s.areas[static_cast<std::size_t>(i + cell.nx * j)][t];
                if (area == 0.0) continue;
                const CellCorner at = corner(cell, i, j, t);
                const Eigen::Matrix<double, 3, 6> b = strain_matrix(at);
                const Eigen::Matrix<double, 6, 3> bc = area * b.transpose() * c;
                const Eigen::Matrix<double, 6, 6> k = bc * b;
                out.uniform += area * c;
                for (int p = 0; p < 6; ++p) {
                    const int row = unknown(at, p);
                    if (held[static_cast<std::size_t>(row / 2)]) continue;
                    out.force.row(row) += bc.row(p);
                    for (int q = 0; q < 6; ++q)
                        if (!held[static_cast<std::size_t>(unknown(at, q) / 2)] && k(p, q) != 0.0)
                            entries.emplace_back(row, unknown(at, q), k(p, q));
                }
            }
        }
    }
    for (int n = 0; n < static_cast<int>(held.size()); ++n)
        if (held[static_cast<std::size_t>(n)])
            for (const int r : {2 * n, 2 * n + 1}) entries.emplace_back(r, r, 1.0);
    out.stiffness.setFromTriplets(entries.begin(), entries.end());
    return out;
}

/// Least-squares cubic through the displacements near a point of the hole's edge: rows give the gradient
/// (d/dx, d/dy) there as weights on the nodes.
struct GradientFit {
    std::vector<int> node;
    Eigen::MatrixXd weight;  ///< 2 x nodes
};

GradientFit fit_gradient(const CellStress& s, Point at, Point out_of_hole) {
    const CellGrid& cell = s.cell;
    const double h = std::max(cell.dx, cell.dy);
    // Centred a little inside the film: that is where the nodes are.
    const Point middle{at.x + 1.5 * h * out_of_hole.x, at.y + 1.5 * h * out_of_hole.y};
    const double reach = 3.3 * h;
    GradientFit fit;
    std::vector<std::array<double, 3>> place;
    const int i0 = static_cast<int>(std::floor(middle.x / cell.dx)),
              j0 = static_cast<int>(std::floor(middle.y / cell.dy));
    for (int j = j0 - 4; j <= j0 + 5; ++j) {
        for (int i = i0 - 4; i <= i0 + 5; ++i) {
            const double x = i * cell.dx, y = j * cell.dy;
            const double r = std::hypot(x - middle.x, y - middle.y);
            const int n = cell.node(i, j);
            if (r > reach || !s.supported[static_cast<std::size_t>(n)]) continue;
            fit.node.push_back(n);
            place.push_back({(x - at.x) / h, (y - at.y) / h, std::exp(-r * r / (3.0 * h * h))});
        }
    }
    const auto count = static_cast<Eigen::Index>(place.size());
    Eigen::MatrixXd p(count, 10);
    Eigen::VectorXd w(count);
    for (Eigen::Index k = 0; k < count; ++k) {
        const auto [x, y, weight] = place[static_cast<std::size_t>(k)];
        p.row(k) << 1.0, x, y, x * x, x * y, y * y, x * x * x, x * x * y, x * y * y, y * y * y;
        w[k] = weight;
    }
    const Eigen::MatrixXd normal = p.transpose() * w.asDiagonal() * p;
    const Eigen::MatrixXd all = normal.ldlt().solve(p.transpose() * w.asDiagonal());
    fit.weight = all.middleRows(1, 2) / h;
    return fit;
}

struct EdgePoint {
    Point at, normal;  ///< normal out of the hole, into the film
};

/// Points round the first hole; on polygons away from the corners by a sixteenth of a side at least.
std::vector<EdgePoint> edge_points(const CellGrid& cell) {
    std::vector<EdgePoint> points;
    const Point c = cell.holes.front();
    const std::vector<Point> corners = figure(cell.shape, cell.size);
    if (corners.empty()) {
        for (int k = 0; k < 72; ++k) {
            const double angle = 2.0 * constants::pi * k / 72.0;
            const Point n{std::cos(angle), std::sin(angle)};
            points.push_back({{c.x + 0.5 * cell.size * n.x, c.y + 0.5 * cell.size * n.y}, n});
        }
        return points;
    }
    for (std::size_t k = 0; k < corners.size(); ++k) {
        const Point a = corners[k], b = corners[(k + 1) % corners.size()];
        const double length = std::hypot(b.x - a.x, b.y - a.y);
        for (int m = 1; m < 16; ++m) {
            const double t = m / 16.0;
            points.push_back({{c.x + a.x + t * (b.x - a.x), c.y + a.y + t * (b.y - a.y)},
                              {(b.y - a.y) / length, -(b.x - a.x) / length}});
        }
    }
    return points;
}

}  // namespace

Eigen::Matrix3d plane_stress(double nu) {
    const double a = 1.0 / (1.0 - nu * nu);
    Eigen::Matrix3d c;
    c << a, a * nu, 0.0, a * nu, a, 0.0, 0.0, 0.0, 0.5 / (1.0 + nu);
    return c;
}

Eigen::Vector3d CellStress::stress(int i, int j, std::size_t t, int k) const {
    const CellCorner at = corner(cell, i, j, t);
    Eigen::Matrix<double, 6, 1> u;
    for (int p = 0; p < 6; ++p) u[p] = displacement(unknown(at, p), k);
    Eigen::Vector3d strain = strain_matrix(at) * u;
    strain[k] += 1.0;
    return plane_stress(poisson_ratio) * strain;
}

CellStress solve_cell_stress(const CellGrid& cell, double poisson_ratio) {
    CellStress s;
    s.cell = cell;
    s.poisson_ratio = poisson_ratio;
    s.supported.assign(static_cast<std::size_t>(cell.nx * cell.ny), false);
    for (int j = 0; j < cell.ny; ++j) {
        for (int i = 0; i < cell.nx; ++i) {
            s.areas.push_back(corner_areas(cell, i, j));
            for (std::size_t t = 0; t < 4; ++t)
                if (s.areas.back()[t] > 0.0)
                    for (const int n : corner(cell, i, j, t).node) s.supported[static_cast<std::size_t>(n)] = true;
        }
    }
    const Assembled system = assemble(s, held_nodes(s.supported));
    const Eigen::SimplicialLDLT<SparseMatrix> factor(system.stiffness);
    if (factor.info() != Eigen::Success || (factor.vectorD().array() <= 0.0).any())
        throw NoAnswer(
            "the perforated film does not hold together on its unit cell; the ligaments are too thin for the grid, "
            "use smaller holes or a larger pitch");
    s.displacement = -factor.solve(system.force);
    s.stiffness = (system.uniform + system.force.transpose() * s.displacement) / (cell.width * cell.height);
    s.stiffness = (0.5 * (s.stiffness + s.stiffness.transpose())).eval();
    return s;
}

std::vector<Voigt3> edge_stress(const CellStress& s) {
    const Eigen::Matrix3d compliance = s.stiffness.inverse();
    std::vector<Voigt3> rows;
    for (const EdgePoint& point : edge_points(s.cell)) {
        const GradientFit fit = fit_gradient(s, point.at, point.normal);
        const double tx = -point.normal.y, ty = point.normal.x;
        // Tangential strain of the three loads; at a free edge the stress is E times it and nothing else.
        Eigen::RowVector3d strain(tx * tx, ty * ty, tx * ty);
        for (std::size_t m = 0; m < fit.node.size(); ++m) {
            const auto e = static_cast<Eigen::Index>(m);
            const double along = tx * fit.weight(0, e) + ty * fit.weight(1, e);
            strain += along * (tx * s.displacement.row(2 * fit.node[m]) + ty * s.displacement.row(2 * fit.node[m] + 1));
        }
        const Eigen::RowVector3d per_tension = strain * compliance;
        rows.push_back({per_tension[0], per_tension[1], per_tension[2]});
    }
    return rows;
}

}  // namespace tymbal

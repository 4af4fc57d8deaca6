#include "tymbal/film/in_plane.h"

#include "tymbal/base/error.h"

#include <Eigen/SparseCholesky>

#include <vector>

namespace tymbal {

struct InPlane::Factor {
    Eigen::SimplicialLDLT<SparseMatrix> cholesky;
};

namespace {

/// Derivative along an axis by one arm; the rim does not move.
void add_slope(StrainRow& row, int node, const Arm& arm, double sign, int component) {
    row.add(2 * node + component, -sign / arm.length);
    if (!arm.cut()) row.add(2 * arm.to + component, sign / arm.length);
}

std::array<StrainRow, 3> strain_at(int number, const Node& node, std::size_t ax, std::size_t ay) {
    const double sx = ax == 0 ? 1.0 : -1.0;
    const double sy = ay == 2 ? 1.0 : -1.0;
    std::array<StrainRow, 3> strain;
    add_slope(strain[0], number, node.arms[ax], sx, 0);
    add_slope(strain[1], number, node.arms[ay], sy, 1);
    add_slope(strain[2], number, node.arms[ay], sy, 0);
    add_slope(strain[2], number, node.arms[ax], sx, 1);
    return strain;
}

SparseMatrix in_plane_matrix(const Grid& grid, const CellStiffness& stiffness) {
    const auto size = static_cast<Eigen::Index>(2 * grid.nodes.size());
    std::vector<Eigen::Triplet<double>> entries;
    entries.reserve(static_cast<std::size_t>(size) * 40);
    for_each_quadrant(grid, [&](const Quadrant& q) {
        const auto& c = stiffness[q.cell];
        for (std::size_t r = 0; r < 3; ++r) {
            const StrainRow& a = q.strain[r];
            for (std::size_t s = 0; s < 3; ++s) {
                if (c[r][s] == 0.0) continue;
                const StrainRow& b = q.strain[s];
                const double factor = c[r][s] * (r == s ? q.area[r] : q.area[2]);
                for (std::size_t p = 0; p < a.size; ++p)
                    for (std::size_t t = 0; t < b.size; ++t)
                        entries.emplace_back(a.unknown[p], b.unknown[t], factor * a.weight[p] * b.weight[t]);
            }
        }
    });
    SparseMatrix matrix(size, size);
    matrix.setFromTriplets(entries.begin(), entries.end());
    return matrix;
}

}  // namespace

Quadrant quadrant(const Grid& grid, int number, std::size_t ax, std::size_t ay) {
    const Node& node = grid.nodes[static_cast<std::size_t>(number)];
    Quadrant q;
    q.node = number;
    q.ax = ax;
    q.ay = ay;
    q.strain = strain_at(number, node, ax, ay);
    q.cell = static_cast<std::size_t>(grid.cell(node.i - (ax == 0 ? 0 : 1), node.j - (ay == 2 ? 0 : 1)));
    const double x = node.arms[ax].own_length() * 0.5 * grid.dy;
    const double y = node.arms[ay].own_length() * 0.5 * grid.dx;
    q.area = {x, y, 0.5 * (x + y)};
    return q;
}

std::array<double, 3> tension_of(const std::array<std::array<double, 3>, 3>& stiffness,
                                 const std::array<double, 3>& strain) {
    std::array<double, 3> tension{};
    for (std::size_t r = 0; r < 3; ++r)
        for (std::size_t s = 0; s < 3; ++s) tension[r] += stiffness[r][s] * strain[s];
    return tension;
}

InPlane::InPlane(const Grid& grid, const CellStiffness& stiffness) : grid_(grid), stiffness_(stiffness) {
    const auto factor = std::make_shared<Factor>();
    factor->cholesky.compute(in_plane_matrix(grid, stiffness));
    if (factor->cholesky.info() != Eigen::Success)
        throw NoAnswer(
            "the in-plane stiffness of the film cannot be factored; the hole field leaves no film to hold it");
    factor_ = factor;
}

Vector InPlane::solve(const Vector& load) const {
    return factor_->cholesky.solve(load);
}

std::array<double, 3> InPlane::tension(const Quadrant& q, const Vector& u) const {
    return tension_of(stiffness_[q.cell], {q.strain[0].value(u), q.strain[1].value(u), q.strain[2].value(u)});
}

}  // namespace tymbal

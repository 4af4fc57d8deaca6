#include "tymbal/film/in_plane.h"

#include "tymbal/base/error.h"

#include <Eigen/SparseCholesky>

#include <algorithm>
#include <cmath>
#include <numeric>
#include <utility>

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

Quarter whole(const Grid& grid) {
    const std::size_t size = 2 * grid.nodes.size();
    Quarter out{std::vector<int>(size), std::vector<double>(size, 1.0), static_cast<int>(size)};
    std::iota(out.number.begin(), out.number.end(), 0);
    return out;
}

/// Displacement along x is odd in x and even in y, that along y the other way round.
Quarter quarter_of(const Grid& grid, const Mirrors& mirrors) {
    const std::size_t size = 2 * grid.nodes.size();
    Quarter out{std::vector<int>(size, -1), std::vector<double>(size, 1.0), 0};
    for (std::size_t n = 0; n < grid.nodes.size(); ++n) {
        const auto in_x = static_cast<std::size_t>(mirrors.in_x[n]), in_y = static_cast<std::size_t>(mirrors.in_y[n]);
        const std::size_t opposite = static_cast<std::size_t>(mirrors.in_x[in_y]);
        for (std::size_t c = 0; c < 2; ++c) {
            const double odd_x = c == 0 ? -1.0 : 1.0, odd_y = -odd_x;
            if (n > std::min({in_x, in_y, opposite})) continue;
            if ((in_x == n && odd_x < 0.0) || (in_y == n && odd_y < 0.0)) continue;
            for (const auto& [image, sign] : {std::pair{n, 1.0}, {in_x, odd_x}, {in_y, odd_y}, {opposite, -1.0}}) {
                out.number[2 * image + c] = out.size;
                out.sign[2 * image + c] = sign;
            }
            ++out.size;
        }
    }
    return out;
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

bool is_mirrored(const Grid& grid, const CellStiffness& stiffness) {
    double largest = 0.0, astray = 0.0;
    for (int j = 0; j + 1 < grid.rows; ++j)
        for (int i = 0; i + 1 < grid.columns; ++i) {
            const auto& here = stiffness[static_cast<std::size_t>(grid.cell(i, j))];
            const auto& in_x = stiffness[static_cast<std::size_t>(grid.cell(grid.columns - 2 - i, j))];
            const auto& in_y = stiffness[static_cast<std::size_t>(grid.cell(i, grid.rows - 2 - j))];
            for (std::size_t r = 0; r < 3; ++r)
                for (std::size_t c = 0; c < 3; ++c) {
                    const double sign = (r == 2) == (c == 2) ? 1.0 : -1.0;  // shear changes sign in a mirror
                    largest = std::max(largest, std::abs(here[r][c]));
                    astray = std::max(
                        {astray, std::abs(here[r][c] - sign * in_x[r][c]), std::abs(here[r][c] - sign * in_y[r][c])});
                }
        }
    return astray <= 1e-9 * largest;
}

InPlane::InPlane(const Grid& grid, const CellStiffness& stiffness)
    : grid_(grid), stiffness_(stiffness), quarter_(whole(grid)) {
    factor();
}

InPlane::InPlane(const Grid& grid, const CellStiffness& stiffness, const Mirrors& mirrors)
    : grid_(grid), stiffness_(stiffness), mirrored_(true), quarter_(quarter_of(grid, mirrors)) {
    factor();
}

void InPlane::factor() {
    const auto factor = std::make_shared<Factor>();
    factor->cholesky.compute(matrix());
    if (factor->cholesky.info() != Eigen::Success)
        throw NoAnswer(
            "the in-plane stiffness of the film cannot be factored; the hole field leaves no film to hold it; "
            "use smaller holes or a larger pitch");
    factor_ = factor;
}

/// Corners of the lower left quarter; a node on the middle line keeps those on that side.
bool InPlane::in_quarter(const Quadrant& q) const {
    if (!mirrored_) return true;
    const Node& node = grid_.nodes[static_cast<std::size_t>(q.node)];
    const int x = 2 * node.i - (grid_.columns - 1), y = 2 * node.j - (grid_.rows - 1);
    return (x < 0 || (x == 0 && q.ax == 1)) && (y < 0 || (y == 0 && q.ay == 3));
}

SparseMatrix InPlane::matrix() const {
    StencilMatrix out(grid_, 1, 2);
    std::vector<int> standing(quarter_.number.size(), -1);  // the first unknown of each orbit
    std::vector<int> first(static_cast<std::size_t>(quarter_.size), -1);
    for (std::size_t k = 0; k < quarter_.number.size(); ++k) {
        if (quarter_.number[k] < 0) continue;
        int& orbit = first[static_cast<std::size_t>(quarter_.number[k])];
        if (orbit < 0) orbit = static_cast<int>(k);
        standing[k] = orbit;
    }
    const auto add = [&](int a, int b, double value) {
        const auto i = static_cast<std::size_t>(a), j = static_cast<std::size_t>(b);
        if (standing[i] >= 0 && standing[j] >= 0)
            out.add(standing[i], standing[j], quarter_.sign[i] * quarter_.sign[j] * value);
    };
    for_each_quadrant(grid_, [&](const Quadrant& q) {
        if (!in_quarter(q)) return;
        const auto& c = stiffness_[q.cell];
        for (std::size_t r = 0; r < 3; ++r) {
            const StrainRow& a = q.strain[r];
            for (std::size_t s = 0; s < 3; ++s) {
                if (c[r][s] == 0.0) continue;
                const StrainRow& b = q.strain[s];
                const double factor = c[r][s] * (r == s ? q.area[r] : q.area[2]);
                for (std::size_t p = 0; p < a.size; ++p)
                    for (std::size_t t = 0; t < b.size; ++t)
                        add(a.unknown[p], b.unknown[t], factor * a.weight[p] * b.weight[t]);
            }
        }
    });
    std::vector<int> kept(quarter_.number.size(), -1);
    for (std::size_t k = 0; k < kept.size(); ++k)
        if (standing[k] == static_cast<int>(k)) kept[k] = quarter_.number[k];
    return out.matrix(kept);
}

Vector InPlane::solve(const Vector& load) const {
    Vector solution = factor_->cholesky.solve(load);
    if (!mirrored_) return solution;
    Vector u = Vector::Zero(static_cast<Eigen::Index>(quarter_.number.size()));
    for (std::size_t k = 0; k < quarter_.number.size(); ++k)
        if (quarter_.number[k] >= 0) u[static_cast<Eigen::Index>(k)] = quarter_.sign[k] * solution[quarter_.number[k]];
    return u;
}

std::array<double, 3> InPlane::tension(const Quadrant& q, const Vector& u) const {
    return tension_of(stiffness_[q.cell], {q.strain[0].value(u), q.strain[1].value(u), q.strain[2].value(u)});
}

}  // namespace tymbal

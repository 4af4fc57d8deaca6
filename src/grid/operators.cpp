#include "tymbal/grid/operators.h"

#include "tymbal/grid/corner_tension.h"

#include "../base/in_parallel.h"

#include <array>
#include <cmath>
#include <cstddef>

namespace tymbal {

namespace {

/// A difference formula: a few node numbers with their weights.
class Row {
public:
    void add(int node, double weight) {
        for (std::size_t k = 0; k < size_; ++k) {
            if (node_[k] != node) continue;
            weight_[k] += weight;
            return;
        }
        node_[size_] = node;
        weight_[size_++] = weight;
    }
    void add(const Row& other, double factor) {
        for (std::size_t k = 0; k < other.size_; ++k) add(other.node_[k], factor * other.weight_[k]);
    }
    [[nodiscard]] std::size_t size() const { return size_; }
    [[nodiscard]] int node(std::size_t k) const { return node_[k]; }
    [[nodiscard]] double weight(std::size_t k) const { return weight_[k]; }

private:
    std::array<int, 8> node_{};
    std::array<double, 8> weight_{};
    std::size_t size_ = 0;
};

/// factor * a b' (symmetric only when a and b are the same row).
void add(StencilMatrix& out, const Row& a, const Row& b, double factor) {
    for (std::size_t p = 0; p < a.size(); ++p)
        for (std::size_t q = 0; q < b.size(); ++q) out.add(a.node(p), b.node(q), factor * a.weight(p) * b.weight(q));
}

/// factor * (a b' + b a').
void add_mixed(StencilMatrix& out, const Row& a, const Row& b, double factor) {
    add(out, a, b, factor);
    add(out, b, a, factor);
}

double spacing(const Grid& grid, std::size_t arm) {
    return arm < 2 ? grid.dx : grid.dy;
}
double across(const Grid& grid, std::size_t arm) {
    return arm < 2 ? grid.dy : grid.dx;
}
double along_normal_squared(Point normal, std::size_t arm) {
    return arm < 2 ? normal.x * normal.x : normal.y * normal.y;
}

/// Slope along an arm, outwards: (w_neighbour - w_node)/length.
Row slope(int node, const Arm& arm) {
    Row row;
    row.add(node, -1.0 / arm.length);
    if (!arm.cut()) row.add(arm.to, 1.0 / arm.length);
    return row;
}

std::size_t quadrant_cell(const Grid& grid, const Node& node, bool right, bool up) {
    return static_cast<std::size_t>(grid.cell(node.i - (right ? 0 : 1), node.j - (up ? 0 : 1)));
}

/// Share of the x direction at a node near the rim: n_x^2 of the rim, nearer arms counting more; 1/2 away from it.
double share_of_x(const Grid& grid, const Node& node) {
    double weighted = 0.0;
    double total = 0.0;
    for (std::size_t a = 0; a < 4; ++a) {
        if (!node.arms[a].cut()) continue;
        const double nearness = spacing(grid, a) / node.arms[a].length;
        weighted += nearness * along_normal_squared(grid.end_of(node.arms[a]).normal, 0);
        total += nearness;
    }
    return total > 0.0 ? weighted / total : 0.5;
}

/// Area a node stands for, m^2.
double node_weight(const Grid& grid, const Node& node) {
    const double x = 0.5 * (node.arms[0].length + node.arms[1].length);
    const double y = 0.5 * (node.arms[2].length + node.arms[3].length);
    const double share = share_of_x(grid, node);
    return share * x * grid.dy + (1.0 - share) * y * grid.dx;
}

/// Laplacian at a node: sum of its arm fluxes over its weight.
Row laplacian(const Grid& grid, int number, const Node& node, double weight) {
    Row row;
    for (std::size_t a = 0; a < 4; ++a) row.add(slope(number, node.arms[a]), across(grid, a) / weight);
    return row;
}

bool away_from_rim(const Node& node) {
    for (const Arm& arm : node.arms)
        if (arm.cut()) return false;
    return true;
}

/// w_xx (first = 0) or w_yy (first = 2) at a node with whole arms.
Row second_difference(int number, const Node& node, std::size_t first) {
    Row row;
    for (std::size_t a = first; a < first + 2; ++a) row.add(slope(number, node.arms[a]), 1.0 / node.arms[a].length);
    return row;
}

/// The four nodes of a cell, counter-clockwise from the lower left, or -1.
std::array<int, 4> corners(const Grid& grid, int i, int j) {
    const auto at = [&](int a, int b) { return grid.number[static_cast<std::size_t>(a + grid.columns * b)]; };
    return {at(i, j), at(i + 1, j), at(i + 1, j + 1), at(i, j + 1)};
}

/// Twist of one cell's extra stiffness at its centre, and its products with w_xx, w_yy at the corners.
void add_twist(StencilMatrix& out, const Grid& grid, const std::array<int, 4>& corner,
               const std::array<std::array<double, 3>, 3>& extra) {
    const double cell_area = grid.dx * grid.dy, quarter = 0.25 * cell_area;
    Row twist;  // 2 w_xy
    const double per_area = 2.0 / cell_area;
    for (std::size_t c = 0; c < 4; ++c) twist.add(corner[c], c % 2 == 0 ? per_area : -per_area);
    add(out, twist, twist, extra[2][2] * cell_area);
    if (extra[0][2] == 0.0 && extra[1][2] == 0.0) return;
    for (const int n : corner) {
        const Node& node = grid.nodes[static_cast<std::size_t>(n)];
        add_mixed(out, second_difference(n, node, 0), twist, extra[0][2] * quarter);
        add_mixed(out, second_difference(n, node, 2), twist, extra[1][2] * quarter);
    }
}

/// Bending energy of the cells' extra stiffness: w_xx and w_yy at a node count for its part of the cells around it.
void add_difference(StencilMatrix& out, const Grid& grid, const CellStiffness& difference) {
    std::vector<std::array<double, 3>> at_node(grid.nodes.size(), {0.0, 0.0, 0.0});  // xx xx, yy yy, xx yy
    const double quarter = 0.25 * grid.dx * grid.dy;
    for (int j = 0; j + 1 < grid.rows; ++j) {
        for (int i = 0; i + 1 < grid.columns; ++i) {
            const auto& extra = difference[static_cast<std::size_t>(grid.cell(i, j))];
            if (extra[0][0] == 0.0) continue;
            const std::array<int, 4> corner = corners(grid, i, j);
            bool whole = true;
            for (const int n : corner)
                whole = whole && n >= 0 && away_from_rim(grid.nodes[static_cast<std::size_t>(n)]);
            if (!whole) continue;
            add_twist(out, grid, corner, extra);
            for (const int n : corner) {
                auto& sum = at_node[static_cast<std::size_t>(n)];
                sum = {sum[0] + quarter * extra[0][0], sum[1] + quarter * extra[1][1], sum[2] + quarter * extra[0][1]};
            }
        }
    }
    for (std::size_t n = 0; n < at_node.size(); ++n) {
        const auto& sum = at_node[n];
        if (sum[0] == 0.0 && sum[1] == 0.0 && sum[2] == 0.0) continue;
        const int number = static_cast<int>(n);
        const Row xx = second_difference(number, grid.nodes[n], 0), yy = second_difference(number, grid.nodes[n], 2);
        add(out, xx, xx, sum[0]);
        add(out, yy, yy, sum[1]);
        add_mixed(out, xx, yy, sum[2]);
    }
}

/// Twice the tension's energy. @param pull_at  callable, (node, arm along x, arm along y) -> tension at their corner
template <class PullAt>
SparseMatrix pulled(const Grid& grid, PullAt pull_at) {
    StencilMatrix out(grid, 1);
    for (std::size_t n = 0; n < grid.nodes.size(); ++n) {
        const Node& node = grid.nodes[n];
        for (std::size_t ax = 0; ax < 2; ++ax) {
            for (std::size_t ay = 2; ay < 4; ++ay) {
                const std::array<double, 3> pull = pull_at(n, ax, ay);
                const Row wx = slope(static_cast<int>(n), node.arms[ax]);
                const Row wy = slope(static_cast<int>(n), node.arms[ay]);
                const double x_area = node.arms[ax].own_length() * 0.5 * grid.dy;
                const double y_area = node.arms[ay].own_length() * 0.5 * grid.dx;
                add(out, wx, wx, pull[0] * x_area);
                add(out, wy, wy, pull[1] * y_area);
                const double sign = (ax == 0) == (ay == 2) ? 1.0 : -1.0;  // slopes count outwards along the arms
                if (pull[2] != 0.0) add_mixed(out, wx, wy, sign * pull[2] * 0.5 * (x_area + y_area));
            }
        }
    }
    return out.matrix();
}

}  // namespace

SparseMatrix tension_matrix(const Grid& grid, const CellTensor& tension) {
    return pulled(grid, [&](std::size_t n, std::size_t ax, std::size_t ay) {
        return tension[quadrant_cell(grid, grid.nodes[n], ax == 0, ay == 2)];
    });
}

SparseMatrix corner_tension_matrix(const Grid& grid, const CornerTensor& tension) {
    return pulled(grid,
                  [&](std::size_t n, std::size_t ax, std::size_t ay) { return tension[4 * n + 2 * ax + ay - 2]; });
}

Vector corner_tension_energy(const Grid& grid, const CornerTensor& tension, const Eigen::MatrixXd& shapes,
                             unsigned threads) {
    std::vector<std::size_t> pulled_corners;
    for (std::size_t c = 0; c < tension.size(); ++c)
        if (tension[c] != std::array<double, 3>{}) pulled_corners.push_back(c);
    Vector energy = Vector::Zero(shapes.cols());
    in_parallel(static_cast<std::size_t>(shapes.cols()), threads, [&](std::size_t column) {
        const auto w = shapes.col(static_cast<Eigen::Index>(column));
        double sum = 0.0;
        for (const std::size_t c : pulled_corners) {
            const std::size_t n = c / 4;
            const Arm &x = grid.nodes[n].arms[c % 4 / 2], &y = grid.nodes[n].arms[2 + c % 2];
            const double here = w[static_cast<Eigen::Index>(n)];
            const double wx = ((x.cut() ? 0.0 : w[x.to]) - here) / x.length;
            const double wy = ((y.cut() ? 0.0 : w[y.to]) - here) / y.length;
            const double x_area = x.own_length() * 0.5 * grid.dy, y_area = y.own_length() * 0.5 * grid.dx;
            const double sign = c % 4 == 0 || c % 4 == 3 ? 1.0 : -1.0;  // slopes count outwards along the arms
            sum += tension[c][0] * x_area * wx * wx + tension[c][1] * y_area * wy * wy +
                   sign * tension[c][2] * (x_area + y_area) * wx * wy;
        }
        energy[static_cast<Eigen::Index>(column)] = sum;
    });
    return energy;
}

SparseMatrix bending_matrix(const Grid& grid, double rim_stiffness, const CellStiffness& difference, RimBending rim) {
    StencilMatrix out(grid, 2);
    for (std::size_t n = 0; n < grid.nodes.size(); ++n) {
        const Node& node = grid.nodes[n];
        const double weight = node_weight(grid, node);
        const Row lap = laplacian(grid, static_cast<int>(n), node, weight);
        add(out, lap, lap, rim_stiffness * weight);
        if (rim == RimBending::free_slope) continue;
        for (std::size_t a = 0; a < 4; ++a) {
            const Arm& arm = node.arms[a];
            if (!arm.cut()) continue;
            const double n2 = std::max(1e-12, along_normal_squared(grid.end_of(arm).normal, a));
            Row touch;
            touch.add(static_cast<int>(n), 2.0 / (arm.length * arm.length * n2));
            add(out, touch, touch, rim_stiffness * n2 * 0.5 * arm.length * across(grid, a));
        }
    }
    if (!difference.empty()) add_difference(out, grid, difference);
    return out.matrix();
}

Vector mass_vector(const Grid& grid, const std::vector<double>& areal_density) {
    Vector mass(static_cast<Eigen::Index>(grid.nodes.size()));
    prefer_huge_pages(mass);
    for (std::size_t n = 0; n < grid.nodes.size(); ++n) {
        double sum = 0.0;
        for (const bool right : {false, true})
            for (const bool up : {false, true}) sum += areal_density[quadrant_cell(grid, grid.nodes[n], right, up)];
        mass[static_cast<Eigen::Index>(n)] = 0.25 * sum * grid.dx * grid.dy;
    }
    return mass;
}

Vector area_vector(const Grid& grid) {
    Vector weights(static_cast<Eigen::Index>(grid.nodes.size()));
    for (std::size_t n = 0; n < grid.nodes.size(); ++n)
        weights[static_cast<Eigen::Index>(n)] = node_weight(grid, grid.nodes[n]);
    return weights;
}

std::vector<RimTouch> rim_touches(const Grid& grid, const Eigen::Ref<const Vector>& w) {
    std::vector<RimTouch> touches;
    for (std::size_t n = 0; n < grid.nodes.size(); ++n) {
        const Node& node = grid.nodes[n];
        for (std::size_t a = 0; a < 4; ++a) {
            const Arm& arm = node.arms[a];
            if (!arm.cut() || arm.free()) continue;
            const RimEnd end = grid.end_of(arm);
            const double here = w[static_cast<Eigen::Index>(n)];
            // Slope at the rim itself: the parabola through the rim, this node and the one behind it.
            const Arm& back = node.arms[a ^ 1U];
            const double near = here / arm.length;
            const double far = back.cut() ? 0.0 : w[back.to] / (arm.length + back.length);
            const double outward = near + (near - far) * arm.length / back.length;
            // Horizontal lines know (dw/dn)^2 ds as (w_x/n_x)^2 dy/|n_x| and count for n_x^4/(n_x^4 + n_y^4), vertical
            // ones likewise: a line that runs along the rim knows nothing of its slope and counts for nothing.
            const double n2 = along_normal_squared(end.normal, a);
            const double counted = std::sqrt(n2) / (n2 * n2 + (1.0 - n2) * (1.0 - n2));
            Point place = grid.place(node);
            (a < 2 ? place.x : place.y) += a % 2 == 0 ? arm.length : -arm.length;
            touches.push_back(
                {place, end.normal, end.loop, end.curvature, a < 2, outward * outward * counted * across(grid, a)});
        }
    }
    return touches;
}

}  // namespace tymbal

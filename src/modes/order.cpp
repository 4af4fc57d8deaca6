#include "order.h"

#include <algorithm>
#include <cmath>
#include <cstddef>

namespace tymbal {

namespace {

// Pairs that share a frequency may turn in their plane; they keep their places unless the shapes clearly say otherwise.
constexpr double bonus_for_staying = 0.05;

/// Shapes of `from` at the nodes of `grid`, bilinear between its own nodes, zero outside.
Eigen::MatrixXd sampled_shapes(const Level& from, const Grid& grid) {
    Eigen::MatrixXd out = Eigen::MatrixXd::Zero(static_cast<Eigen::Index>(grid.nodes.size()), from.shapes.cols());
    for (std::size_t n = 0; n < grid.nodes.size(); ++n) {
        const Point p = grid.place(grid.nodes[n]);
        const double s = (p.x - from.grid.x0) / from.grid.dx, t = (p.y - from.grid.y0) / from.grid.dy;
        const int i = std::clamp(static_cast<int>(s), 0, from.grid.columns - 2);
        const int j = std::clamp(static_cast<int>(t), 0, from.grid.rows - 2);
        for (int b = 0; b < 2; ++b) {
            for (int a = 0; a < 2; ++a) {
                const int node = from.grid.number[static_cast<std::size_t>(i + a + from.grid.columns * (j + b))];
                if (node < 0) continue;
                const double share = (a == 1 ? s - i : 1.0 - s + i) * (b == 1 ? t - j : 1.0 - t + j);
                out.row(static_cast<Eigen::Index>(n)) += share * from.shapes.row(node);
            }
        }
    }
    return out;
}

}  // namespace

std::vector<Eigen::Index> same_shapes(const Level& known, const Level& level) {
    Eigen::MatrixXd before = sampled_shapes(known, level.grid);
    const Eigen::VectorXd size = (before.transpose() * level.mass.asDiagonal() * before).diagonal().cwiseSqrt();
    Eigen::MatrixXd alike =
        (size.cwiseInverse().asDiagonal() * before.transpose() * level.mass.asDiagonal() * level.shapes).cwiseAbs();
    alike.diagonal().array() += bonus_for_staying;
    std::vector<Eigen::Index> order(static_cast<std::size_t>(alike.rows()));
    for (Eigen::Index step = 0; step < alike.rows(); ++step) {
        Eigen::Index k = 0, j = 0;
        alike.maxCoeff(&k, &j);
        order[static_cast<std::size_t>(k)] = j;
        alike.row(k).setConstant(-1.0);
        alike.col(j).setConstant(-1.0);
    }
    return order;
}

void reorder(Level& level, const std::vector<Eigen::Index>& order) {
    const Vector values = level.values;
    const Eigen::MatrixXd shapes = level.shapes;
    const Vector interior = level.interior;
    const std::vector<EdgeLayer> layers = level.layers;
    for (std::size_t k = 0; k < order.size(); ++k) {
        level.values[static_cast<Eigen::Index>(k)] = values[order[k]];
        level.shapes.col(static_cast<Eigen::Index>(k)) = shapes.col(order[k]);
        level.interior[static_cast<Eigen::Index>(k)] = interior[order[k]];
        level.layers[k] = layers[static_cast<std::size_t>(order[k])];
    }
}

}  // namespace tymbal

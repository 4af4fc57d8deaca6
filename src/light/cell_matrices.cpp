// A function f of the cell is the matrix f_{G - G'} = (1/A) Int f exp(-i (G - G') r) (Laurent). With S the functions of
// a symmetry, sums of orders that are mirror images, the problem splits into parts S^T f S of half or a quarter of the
// size.
#include "cell_matrices.h"

#include "figure_transform.h"

#include <algorithm>
#include <cmath>
#include <map>
#include <utility>

namespace tymbal::fourier {

namespace {

using Key = std::pair<int, int>;

Key key(const Order& order) {
    return {order.m, order.n};
}

std::vector<std::pair<Key, double>> images(const Cell& cell, const Order& order, Parity parity) {
    std::vector<std::pair<Key, double>> out{{key(order), 1.0}};
    if (parity.x != 0) out.emplace_back(key(order_at(cell, -order.x, order.y)), parity.x);
    if (parity.y != 0) out.emplace_back(key(order_at(cell, order.x, -order.y)), parity.y);
    if (parity.x != 0 && parity.y != 0) out.emplace_back(key(order_at(cell, -order.x, -order.y)), parity.x * parity.y);
    return out;
}

Space make_space(const Cell& cell, const std::vector<Order>& orders, Parity parity) {
    std::map<Key, int> place;
    for (std::size_t k = 0; k < orders.size(); ++k) place[key(orders[k])] = static_cast<int>(k);
    std::vector<bool> seen(orders.size(), false);
    std::vector<Eigen::Triplet<double>> entries;
    int column = 0;
    for (std::size_t k = 0; k < orders.size(); ++k) {
        if (seen[k]) continue;
        std::map<int, double> sum;
        for (const auto& [image, sign] : images(cell, orders[k], parity)) sum[place.at(image)] += sign;
        double norm = 0.0;
        for (const auto& [row, value] : sum) {
            seen[static_cast<std::size_t>(row)] = true;
            norm += value * value;
        }
        if (norm == 0.0) continue;  // an odd function has no such order
        for (const auto& [row, value] : sum) entries.emplace_back(row, column, value / std::sqrt(norm));
        ++column;
    }
    Space space(static_cast<Eigen::Index>(orders.size()), column);
    space.setFromTriplets(entries.begin(), entries.end());
    return space;
}

struct Laurent {
    Eigen::MatrixXd open, xx, xy, yy;  ///< orders by orders
};

Laurent laurent(const Cell& cell, const std::vector<Order>& orders) {
    FigureTransformer transform(cell);
    const double share = 1.0 / area(cell);
    std::map<Key, FigureTransform> known;
    const auto at = [&](const Order& a, const Order& b) -> const FigureTransform& {
        const Key difference{a.m - b.m, a.n - b.n};
        const auto found = known.find(difference);
        if (found != known.end()) return found->second;
        const Point g{a.x - b.x, a.y - b.y};
        double sites = 0.0;
        for (const Point c : cell.centres) sites += share * std::cos(g.x * c.x + g.y * c.y);
        FigureTransform f = transform(g);
        f = {sites * f.open, sites * f.xx, sites * f.xy, sites * f.yy};
        known[{b.m - a.m, b.n - a.n}] = f;
        return known[difference] = f;
    };
    const auto n = static_cast<Eigen::Index>(orders.size());
    Laurent out{Eigen::MatrixXd(n, n), Eigen::MatrixXd(n, n), Eigen::MatrixXd(n, n), Eigen::MatrixXd(n, n)};
    for (Eigen::Index i = 0; i < n; ++i)
        for (Eigen::Index j = 0; j < n; ++j) {
            const FigureTransform& f = at(orders[static_cast<std::size_t>(i)], orders[static_cast<std::size_t>(j)]);
            out.open(i, j) = f.open;
            out.xx(i, j) = f.xx;
            out.xy(i, j) = f.xy;
            out.yy(i, j) = f.yy;
        }
    return out;
}

Eigen::MatrixXd between(const Space& left, const Eigen::MatrixXd& f, const Space& right) {
    const Eigen::MatrixXd narrowed = f * right;
    return left.transpose() * narrowed;
}

}  // namespace

CellMatrices expand(const Cell& cell, double reach, Parity parity) {
    CellMatrices out;
    out.orders = orders_within(cell, reach);
    out.ex = make_space(cell, out.orders, parity);
    out.ey = make_space(cell, out.orders, {-parity.x, -parity.y});
    out.ez = make_space(cell, out.orders, {-parity.x, parity.y});
    out.hz = make_space(cell, out.orders, {parity.x, -parity.y});
    const Laurent f = laurent(cell, out.orders);
    out.open_x = between(out.ex, f.open, out.ex);
    out.open_y = between(out.ey, f.open, out.ey);
    out.open_z = between(out.ez, f.open, out.ez);
    out.normal_xx = between(out.ex, f.xx, out.ex);
    out.normal_xy = between(out.ex, f.xy, out.ey);
    out.normal_yy = between(out.ey, f.yy, out.ey);
    return out;
}

}  // namespace tymbal::fourier

#include "orders.h"

#include "tymbal/base/constants.h"

#include <algorithm>
#include <cmath>

namespace tymbal::fourier {

namespace {

struct Reciprocal {
    Point first, second;  ///< b_i a_j = 2 pi delta_ij
};

Reciprocal reciprocal(const Cell& cell) {
    const double det = cell.first.x * cell.second.y - cell.first.y * cell.second.x;
    const double k = 2.0 * constants::pi / det;
    return {{k * cell.second.y, -k * cell.second.x}, {-k * cell.first.y, k * cell.first.x}};
}

double length(const Order& order) {
    return std::hypot(order.x, order.y);
}

}  // namespace

Order order_at(const Cell& cell, double x, double y) {
    const double turn = 2.0 * constants::pi;
    return {static_cast<int>(std::lround((x * cell.first.x + y * cell.first.y) / turn)),
            static_cast<int>(std::lround((x * cell.second.x + y * cell.second.y) / turn)), x, y};
}

std::vector<Order> orders_within(const Cell& cell, double reach) {
    const Reciprocal b = reciprocal(cell);
    const double slack = 1e-9, largest = reach * 2.0 * constants::pi / cell.pitch * (1.0 + slack);
    // |m| = |G a1|/2 pi <= |G| |a1|/2 pi
    const int i = static_cast<int>(largest * std::hypot(cell.first.x, cell.first.y) / (2.0 * constants::pi)) + 1;
    const int j = static_cast<int>(largest * std::hypot(cell.second.x, cell.second.y) / (2.0 * constants::pi)) + 1;
    std::vector<Order> out;
    for (int m = -i; m <= i; ++m)
        for (int n = -j; n <= j; ++n) {
            const Order order{m, n, m * b.first.x + n * b.second.x, m * b.first.y + n * b.second.y};
            if (length(order) <= largest) out.push_back(order);
        }
    std::stable_sort(out.begin(), out.end(), [](const Order& a, const Order& c) { return length(a) < length(c); });
    return out;
}

double shortest_g(const Cell& cell) {
    const std::vector<Order> near = orders_within(cell, 2.0);
    return length(near.at(1));
}

}  // namespace tymbal::fourier

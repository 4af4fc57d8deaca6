#include "tymbal/modes/film_top.h"

#include <algorithm>
#include <cmath>
#include <limits>

namespace tymbal {

namespace {

constexpr float only_film = -std::numeric_limits<float>::infinity();

bool touches_edge(const Grid& grid, const Node& n, const std::vector<double>& film) {
    for (const int i : {n.i - 1, n.i})
        for (const int j : {n.j - 1, n.j})
            if (film[static_cast<std::size_t>(grid.cell(i, j))] < 1.0) return true;
    return false;
}

/// Grid lines that a box reaches, as a range of numbers from..to.
std::array<int, 2> lines(double low, double high, double first, double spacing, int count) {
    const auto number = [&](double at) {
        return std::clamp(static_cast<int>(std::floor((at - first) / spacing)), 0, count - 1);
    };
    return {number(low - spacing), number(high + spacing) + 1};
}

bool on_film(const Level& level, Eigen::Index n) {
    return level.depth.empty() || level.depth[static_cast<std::size_t>(n)] <= 0.0F;
}

/// By how much the parabola through a highest node and its neighbours rises above it; their values count along `sign`.
double above_node(const Level& level, const Eigen::Ref<const Vector>& w, Eigen::Index top, double sign) {
    const Node& node = level.grid.nodes[static_cast<std::size_t>(top)];
    const double here = sign * w[top];
    double height = 0.0;
    for (std::size_t a = 0; a < 4; a += 2) {
        if (node.arms[a].cut() || node.arms[a + 1].cut()) continue;
        const double right = sign * w[node.arms[a].to], left = sign * w[node.arms[a + 1].to];
        const double bend = 2.0 * here - right - left;
        if (bend > 0.0 && std::max(right, left) <= here) height += 0.125 * (right - left) * (right - left) / bend;
    }
    return height;
}

}  // namespace

std::vector<float> depth_in_openings(const Grid& grid, const std::vector<double>& film,
                                     const std::vector<Figure>& openings) {
    std::vector<float> depth(grid.nodes.size(), only_film);
    for (const Figure& opening : openings) {
        const Box box = bounding_box(opening);
        const auto columns = lines(box.low.x, box.high.x, grid.x0, grid.dx, grid.columns);
        const auto rows = lines(box.low.y, box.high.y, grid.y0, grid.dy, grid.rows);
        for (int j = rows[0]; j < rows[1]; ++j)
            for (int i = columns[0]; i < columns[1]; ++i) {
                const int number = grid.number[static_cast<std::size_t>(i + grid.columns * j)];
                if (number < 0) continue;
                const auto n = static_cast<std::size_t>(number);
                if (!touches_edge(grid, grid.nodes[n], film)) continue;
                const double inside = signed_distance(opening, grid.place(grid.nodes[n]));
                depth[n] = std::max(depth[n], static_cast<float>(inside));
            }
    }
    return depth;
}

double film_top(const Level& level, const Eigen::Ref<const Vector>& w) {
    Eigen::Index top = -1;
    for (Eigen::Index n = 0; n < w.size(); ++n)
        if (on_film(level, n) && (top < 0 || std::abs(w[n]) > std::abs(w[top]))) top = n;
    if (top < 0) w.cwiseAbs().maxCoeff(&top);  // film narrower than the spacing
    double best = w[top] > 0.0 ? w[top] + above_node(level, w, top, 1.0) : w[top] - above_node(level, w, top, -1.0);
    for (std::size_t n = 0; n < level.depth.size(); ++n) {
        const double in = level.depth[n], beyond = w[static_cast<Eigen::Index>(n)];
        if (!(in > 0.0) || std::abs(beyond) <= std::abs(best)) continue;
        for (const Arm& arm : level.grid.nodes[n].arms) {
            if (arm.cut() || !on_film(level, arm.to)) continue;
            const double out = -static_cast<double>(level.depth[static_cast<std::size_t>(arm.to)]);
            const double edge = std::isfinite(out) ? beyond + (w[arm.to] - beyond) * in / (in + out) : w[arm.to];
            if (std::abs(edge) > std::abs(best)) best = edge;
        }
    }
    return best;
}

}  // namespace tymbal

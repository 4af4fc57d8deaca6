#include "tymbal/grid/open_share.h"

#include "../base/in_parallel.h"

#include <algorithm>
#include <array>
#include <cmath>
#include <map>

namespace tymbal {

namespace {

/// Share t of an edge at which it passes a level of x (along = 0) or y (along = 1); edges are monotone in both.
double where(const Edge& e, std::size_t along, double level) {
    const auto coordinate = [along](Point p) { return along == 0 ? p.x : p.y; };
    const double a = coordinate(e.a), b = coordinate(e.b);
    if (e.radius == 0.0) return (level - a) / (b - a);
    // The arc's other coordinate at this level, on the side of the centre where its ends lie.
    const double off = level - coordinate(e.centre);
    const double root = std::sqrt(std::max(0.0, e.radius * e.radius - off * off));
    const auto other = [along](Point p) { return along == 0 ? p.y : p.x; };
    const double side = 0.5 * (other(e.a) + other(e.b)) - other(e.centre);
    const double across = side >= 0.0 ? root : -root;
    const double px = along == 0 ? off : across, py = along == 0 ? across : off;
    const double ax = e.a.x - e.centre.x, ay = e.a.y - e.centre.y, bx = e.b.x - e.centre.x, by = e.b.y - e.centre.y;
    const double turn = std::atan2(ax * by - ay * bx, ax * bx + ay * by);
    return std::atan2(ax * py - ay * px, ax * px + ay * py) / turn;
}

/// Shares of the edge at all grid lines that it crosses, with both ends, rising.
std::vector<double> cuts(const Edge& e, const Grid& grid) {
    std::vector<double> stops{0.0, 1.0};
    const auto add = [&](std::size_t along, double a, double b, double origin, double step) {
        const double low = std::min(a, b), high = std::max(a, b);
        for (double k = std::ceil((low - origin) / step); origin + k * step < high; k += 1.0)
            if (origin + k * step > low) stops.push_back(std::clamp(where(e, along, origin + k * step), 0.0, 1.0));
    };
    add(0, e.a.x, e.b.x, grid.x0, grid.dx);
    add(1, e.a.y, e.b.y, grid.y0, grid.dy);
    std::sort(stops.begin(), stops.end());
    return stops;
}

/// Area between the chord of an arc piece and the arc, positive where the arc bulges to the right of its direction.
double bulge(const Edge& e, Point p, Point q) {
    if (e.radius == 0.0) return 0.0;
    const double ax = p.x - e.centre.x, ay = p.y - e.centre.y, bx = q.x - e.centre.x, by = q.y - e.centre.y;
    const double angle = std::atan2(ax * by - ay * bx, ax * bx + ay * by);
    return 0.5 * e.radius * e.radius * (angle - std::sin(angle));
}

using Areas = std::map<std::pair<int, int>, double>;  ///< by row and column, so that the order is fixed

/// What one figure covers of each cell, m^2.
Areas areas(const Figure& figure, const Grid& grid) {
    const Box box = bounding_box(figure);
    const int first = static_cast<int>(std::floor((box.low.x - grid.x0) / grid.dx));
    Areas out;
    for (const Edge& e : figure) {
        const std::vector<double> stops = cuts(e, grid);
        for (std::size_t k = 0; k + 1 < stops.size(); ++k) {
            if (stops[k + 1] <= stops[k]) continue;
            const Point p = point_on(e, stops[k]), q = point_on(e, stops[k + 1]);
            const Point middle = point_on(e, 0.5 * (stops[k] + stops[k + 1]));
            const int i = static_cast<int>(std::floor((middle.x - grid.x0) / grid.dx));
            const int j = static_cast<int>(std::floor((middle.y - grid.y0) / grid.dy));
            const double rise = q.y - p.y;
            out[{j, i}] += (0.5 * (p.x + q.x) - (grid.x0 + i * grid.dx)) * rise + bulge(e, p, q);
            if (rise == 0.0) continue;
            for (int c = first; c < i; ++c) out[{j, c}] += grid.dx * rise;
        }
    }
    return out;
}

/// The part low..high of the line y = level that the figure covers, added to `spans`.
void cover_line(const Figure& figure, double level, double low, double high,
                std::vector<std::array<double, 2>>& spans) {
    std::vector<double> at;
    for (const Crossing& c : cross_horizontal(figure, level)) at.push_back(c.at);
    for (std::size_t k = 0; k + 1 < at.size(); k += 2)
        if (at[k + 1] > low && at[k] < high) spans.push_back({std::max(low, at[k]), std::min(high, at[k + 1])});
}

double union_length(std::vector<std::array<double, 2>> spans) {
    std::sort(spans.begin(), spans.end());
    double total = 0.0, reached = -1e300;
    for (const auto& [from, to] : spans) {
        total += std::max(0.0, to - std::max(from, reached));
        reached = std::max(reached, to);
    }
    return total;
}

/// Heights inside the cell at which the union's length may have a kink: ends of edges, and where edges meet the cell's
/// sides.
std::vector<double> kinks(const std::vector<const Figure*>& figures, Point low, Point high) {
    std::vector<double> heights{low.y, high.y};
    const auto add = [&](double y) {
        if (y > low.y && y < high.y) heights.push_back(y);
    };
    for (const Figure* figure : figures) {
        for (const Edge& e : *figure) {
            add(e.a.y);
            for (const double x : {low.x, high.x})
                if ((e.a.x < x) != (e.b.x < x)) add(point_on(e, where(e, 0, x)).y);
        }
    }
    // Crossings of edges are not looked for: a ladder of levels bounds what they can do.
    constexpr int rungs = 16;
    for (int k = 1; k < rungs; ++k) add(low.y + (high.y - low.y) * k / rungs);
    std::sort(heights.begin(), heights.end());
    return heights;
}

/// Area of the union inside a cell, m^2.
double union_area(const std::vector<const Figure*>& figures, Point low, Point high) {
    // Gauss-Legendre, four points (Abramowitz and Stegun, table 25.4).
    constexpr std::array<double, 4> node{-0.8611363115940526, -0.3399810435848563, 0.3399810435848563,
                                         0.8611363115940526};
    constexpr std::array<double, 4> weight{0.3478548451374538, 0.6521451548625461, 0.6521451548625461,
                                           0.3478548451374538};
    const std::vector<double> heights = kinks(figures, low, high);
    double area = 0.0;
    for (std::size_t k = 0; k + 1 < heights.size(); ++k) {
        const double half = 0.5 * (heights[k + 1] - heights[k]), centre = 0.5 * (heights[k + 1] + heights[k]);
        for (std::size_t g = 0; half > 0.0 && g < 4; ++g) {
            std::vector<std::array<double, 2>> spans;
            for (const Figure* figure : figures) cover_line(*figure, centre + half * node[g], low.x, high.x, spans);
            area += half * weight[g] * union_length(std::move(spans));
        }
    }
    return area;
}

}  // namespace

std::vector<double> open_share(const std::vector<Figure>& figures, const Grid& grid, unsigned threads) {
    const double cell_area = grid.dx * grid.dy;
    constexpr double touched = 1e-12;
    constexpr std::size_t batch = 4096;  // figures whose areas are held at a time
    std::vector<double> share(static_cast<std::size_t>(grid.cell_count()), 0.0);
    std::vector<int> first(share.size(), -1);
    std::map<int, std::vector<const Figure*>> contested;
    std::vector<Areas> covers;
    for (std::size_t f = 0; f < figures.size(); ++f) {
        if (f % batch == 0) {
            covers.assign(std::min(batch, figures.size() - f), {});
            in_parallel(covers.size(), threads, [&](std::size_t k) { covers[k] = areas(figures[f + k], grid); });
        }
        for (const auto& [place, covered] : covers[f % batch]) {
            const auto [j, i] = place;
            if (i < 0 || j < 0 || i >= grid.columns - 1 || j >= grid.rows - 1) continue;
            if (covered < touched * cell_area) continue;
            const int cell = grid.cell(i, j);
            const auto c = static_cast<std::size_t>(cell);
            if (first[c] < 0) {
                first[c] = static_cast<int>(f);
                share[c] = std::min(1.0, covered / cell_area);
                continue;
            }
            auto& list = contested[cell];
            if (list.empty()) list.push_back(&figures[static_cast<std::size_t>(first[c])]);
            list.push_back(&figures[f]);
            share[c] = std::min(1.0, std::max(share[c], covered / cell_area));
        }
    }
    for (const auto& [cell, list] : contested) {
        const auto c = static_cast<std::size_t>(cell);
        if (share[c] > 1.0 - touched) continue;
        const int i = cell % (grid.columns - 1), j = cell / (grid.columns - 1);
        const Point low{grid.x0 + i * grid.dx, grid.y0 + j * grid.dy};
        share[c] = std::min(1.0, union_area(list, low, {low.x + grid.dx, low.y + grid.dy}) / cell_area);
    }
    for (double& s : share)
        if (s > 1.0 - touched) s = 1.0;
    return share;
}

}  // namespace tymbal

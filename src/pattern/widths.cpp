#include "tymbal/pattern/widths.h"

#include <algorithm>
#include <array>
#include <cmath>
#include <limits>

namespace tymbal {

namespace {

constexpr double none = std::numeric_limits<double>::infinity();

/// An edge with the drawn figure on its left, database units.
struct Side {
    Point a, b;
    std::size_t region = 0;
    [[nodiscard]] double left() const { return std::min(a.x, b.x); }
    [[nodiscard]] double right() const { return std::max(a.x, b.x); }
    [[nodiscard]] double low() const { return std::min(a.y, b.y); }
    [[nodiscard]] double high() const { return std::max(a.y, b.y); }
};

struct Nearest {
    Point from, to;
    double distance = none;
};

Point foot(const Side& s, Point p) {
    const double dx = s.b.x - s.a.x, dy = s.b.y - s.a.y;
    const double t = std::clamp(((p.x - s.a.x) * dx + (p.y - s.a.y) * dy) / (dx * dx + dy * dy), 0.0, 1.0);
    return {s.a.x + t * dx, s.a.y + t * dy};
}

double turn(Point o, Point a, Point b) {
    return (a.x - o.x) * (b.y - o.y) - (a.y - o.y) * (b.x - o.x);
}

bool cross(const Side& s, const Side& t) {
    return turn(s.a, s.b, t.a) * turn(s.a, s.b, t.b) < 0.0 && turn(t.a, t.b, s.a) * turn(t.a, t.b, s.b) < 0.0;
}

Nearest nearest(const Side& s, const Side& t) {
    if (cross(s, t)) return {s.a, s.a, 0.0};
    Nearest best;
    const auto take = [&best](Point from, Point to) {
        const double d = std::hypot(to.x - from.x, to.y - from.y);
        if (d < best.distance) best = {from, to, d};
    };
    for (const Point p : {s.a, s.b}) take(p, foot(t, p));
    for (const Point p : {t.a, t.b}) take(foot(s, p), p);
    return best;
}

void add_sides(const std::vector<DrawnPoint>& corners, std::size_t region, std::vector<Side>& into) {
    for (std::size_t k = 0; k < corners.size(); ++k) {
        const DrawnPoint a = corners[k], b = corners[(k + 1) % corners.size()];
        into.push_back({{static_cast<double>(a.x), static_cast<double>(a.y)},
                        {static_cast<double>(b.x), static_cast<double>(b.y)},
                        region});
    }
}

std::vector<Side> sides_of(const std::vector<DrawnRegion>& regions) {
    std::vector<Side> sides;
    for (std::size_t k = 0; k < regions.size(); ++k) {
        add_sides(regions[k].rim, k, sides);
        for (const auto& island : regions[k].islands) add_sides(island, k, sides);
    }
    return sides;
}

bool face(const Side& s, const Side& t) {
    const double ux = s.b.x - s.a.x, uy = s.b.y - s.a.y, vx = t.b.x - t.a.x, vy = t.b.y - t.a.y;
    return ux * vx + uy * vy <= -0.5 * std::hypot(ux, uy) * std::hypot(vx, vy);
}

bool adjoin(const Side& s, const Side& t) {
    const auto same = [](Point p, Point q) { return p.x == q.x && p.y == q.y; };
    return same(s.b, t.a) || same(t.b, s.a);
}

/// @param least  in database units so far
void compare(const Side& s, const Side& t, LeastWidths& least) {
    if (s.region != t.region) {
        least.gap_m = std::min(least.gap_m, nearest(s, t).distance);
        return;
    }
    if (adjoin(s, t) || !face(s, t)) return;
    const Nearest n = nearest(s, t);
    const bool inside = turn(s.a, s.b, n.to) > 0.0;  // the figure lies on the left
    double& kind = inside ? least.width_m : least.gap_m;
    kind = std::min(kind, n.distance);
}

}  // namespace

LeastWidths least_widths(const std::vector<DrawnRegion>& regions) {
    std::vector<Side> sides = sides_of(regions);
    std::sort(sides.begin(), sides.end(), [](const Side& s, const Side& t) { return s.left() < t.left(); });
    LeastWidths least{none, none};
    for (std::size_t k = 0; k < sides.size(); ++k)
        for (std::size_t m = k + 1; m < sides.size(); ++m) {
            const double reach = std::max(least.width_m, least.gap_m);
            if (sides[m].left() > sides[k].right() + reach) break;
            if (sides[m].low() > sides[k].high() + reach || sides[k].low() > sides[m].high() + reach) continue;
            compare(sides[k], sides[m], least);
        }
    return {drawn_unit_m * least.width_m, drawn_unit_m * least.gap_m};
}

double least_gap_m(const HoleFigure& hole, const std::vector<DrawnPoint>& sites,
                   const std::vector<DrawnRegion>& regions) {
    std::vector<Side> own;
    add_sides(hole.corners, 0, own);
    double reach = 0.0;
    for (const DrawnPoint p : hole.corners) reach = std::max(reach, std::hypot(p.x, p.y));
    std::vector<DrawnPoint> sorted = sites;
    std::sort(sorted.begin(), sorted.end(), [](DrawnPoint a, DrawnPoint b) { return a.x < b.x; });
    double least = none;
    for (const Side& side : sides_of(regions)) {
        const double from = std::max(side.left() - reach - least, -2147483648.0);
        auto site =
            std::lower_bound(sorted.begin(), sorted.end(), from, [](DrawnPoint p, double x) { return p.x < x; });
        for (; site != sorted.end() && site->x <= side.right() + reach + least; ++site) {
            const Point centre{static_cast<double>(site->x), static_cast<double>(site->y)};
            const Point at = foot(side, centre);
            if (std::hypot(at.x - centre.x, at.y - centre.y) - reach >= least) continue;
            for (const Side& s : own) {
                const Side placed{{s.a.x + centre.x, s.a.y + centre.y}, {s.b.x + centre.x, s.b.y + centre.y}, 1};
                least = std::min(least, nearest(side, placed).distance);
            }
        }
    }
    return drawn_unit_m * least;
}

}  // namespace tymbal

#include "cell_geometry.h"

#include "tymbal/geometry/lattice.h"

#include <algorithm>
#include <cmath>
#include <stdexcept>

namespace tymbal {

namespace {

double cross(Point a, Point b) {
    return a.x * b.y - a.y * b.x;
}

/// Twice the area between the origin and the part of segment a-b, counted inside a circle about the origin.
double circle_wedge(Point a, Point b, double radius) {
    const Point d{b.x - a.x, b.y - a.y};
    const double dd = d.x * d.x + d.y * d.y;
    const auto sector = [&](Point p, Point q) {
        return radius * radius * std::atan2(cross(p, q), p.x * q.x + p.y * q.y);
    };
    if (dd == 0.0) return 0.0;
    const double along = -(a.x * d.x + a.y * d.y) / dd;
    const double distance2 = std::max(0.0, (a.x * a.x + a.y * a.y) - along * along * dd);
    if (distance2 >= radius * radius) return sector(a, b);
    const double reach = std::sqrt((radius * radius - distance2) / dd);
    const double t0 = std::clamp(along - reach, 0.0, 1.0), t1 = std::clamp(along + reach, 0.0, 1.0);
    const Point p{a.x + t0 * d.x, a.y + t0 * d.y}, q{a.x + t1 * d.x, a.y + t1 * d.y};
    double sum = 0.0;
    if (t0 > 0.0) sum += sector(a, p);
    if (t1 > t0) sum += cross(p, q);
    if (t1 < 1.0) sum += sector(q, b);
    return sum;
}

double in_circle(const std::vector<Point>& polygon, double radius) {
    double twice = 0.0;
    for (std::size_t k = 0; k < polygon.size(); ++k)
        twice += circle_wedge(polygon[k], polygon[(k + 1) % polygon.size()], radius);
    return 0.5 * twice;
}

/// Convex polygon clipped by a convex figure, both counter-clockwise.
double in_figure(std::vector<Point> polygon, const std::vector<Point>& figure_corners) {
    for (std::size_t k = 0; k < figure_corners.size(); ++k) {
        const Point a = figure_corners[k], b = figure_corners[(k + 1) % figure_corners.size()];
        const auto side = [&](Point p) { return cross({b.x - a.x, b.y - a.y}, {p.x - a.x, p.y - a.y}); };
        std::vector<Point> kept;
        for (std::size_t m = 0; m < polygon.size(); ++m) {
            const Point p = polygon[m], q = polygon[(m + 1) % polygon.size()];
            const double sp = side(p), sq = side(q);
            if (sp >= 0.0) kept.push_back(p);
            if ((sp >= 0.0) != (sq >= 0.0)) {
                const double t = sp / (sp - sq);
                kept.push_back({p.x + t * (q.x - p.x), p.y + t * (q.y - p.y)});
            }
        }
        polygon = std::move(kept);
        if (polygon.empty()) return 0.0;
    }
    return polygon_area(polygon);
}

double reach_of(const CellGrid& cell) {
    switch (cell.shape) {
        case HoleShape::circle: return 0.5 * cell.size;
        case HoleShape::square: return cell.size / std::sqrt(2.0);
        case HoleShape::hexagon: return cell.size / std::sqrt(3.0);
    }
    throw std::logic_error("reach_of: unhandled hole shape");
}

/// Centres of the holes (periodic images too) that can touch grid cell (i, j).
std::vector<Point> near_holes(const CellGrid& cell, int i, int j) {
    const Point middle{(i + 0.5) * cell.dx, (j + 0.5) * cell.dy};
    const double reach = reach_of(cell) + 0.5 * std::hypot(cell.dx, cell.dy);
    std::vector<Point> near;
    for (const Point& h : cell.holes) {
        for (int a = -1; a <= 1; ++a) {
            for (int b = -1; b <= 1; ++b) {
                const Point c{h.x + a * cell.width, h.y + b * cell.height};
                if (std::hypot(c.x - middle.x, c.y - middle.y) < reach) near.push_back(c);
            }
        }
    }
    return near;
}

/// Interval of x in which a horizontal line at height y (from the hole's centre) lies in the hole; empty: low >= high.
std::array<double, 2> chord(const CellGrid& cell, const std::vector<Point>& corners, double y) {
    if (corners.empty()) {
        const double r = 0.5 * cell.size;
        const double half = r * r > y * y ? std::sqrt(r * r - y * y) : 0.0;
        return {-half, half};
    }
    double low = 1e300, high = -1e300;
    for (std::size_t k = 0; k < corners.size(); ++k) {
        const Point a = corners[k], b = corners[(k + 1) % corners.size()];
        if ((a.y <= y) == (b.y <= y)) continue;
        const double x = a.x + (y - a.y) / (b.y - a.y) * (b.x - a.x);
        low = std::min(low, x);
        high = std::max(high, x);
    }
    return {low, high};
}

/// Heights (from the hole's centre) at which the hole's edge begins, ends, has a corner or meets the line x = at.
void add_breaks(const CellGrid& cell, const std::vector<Point>& corners, Point centre, double at,
                std::vector<double>& out) {
    const double x = at - centre.x;
    if (corners.empty()) {
        const double r = 0.5 * cell.size;
        out.insert(out.end(), {centre.y - r, centre.y + r});
        if (std::abs(x) < r) {
            const double y = std::sqrt(r * r - x * x);
            out.insert(out.end(), {centre.y - y, centre.y + y});
        }
        return;
    }
    for (std::size_t k = 0; k < corners.size(); ++k) {
        const Point a = corners[k], b = corners[(k + 1) % corners.size()];
        out.push_back(centre.y + a.y);
        if ((a.x <= x) != (b.x <= x)) out.push_back(centre.y + a.y + (x - a.x) / (b.x - a.x) * (b.y - a.y));
    }
}

constexpr std::array<double, 4> gauss_at{0.06943184420297371, 0.33000947820757187, 0.66999052179242813,
                                         0.93056815579702629};
constexpr std::array<double, 4> gauss_weight{0.17392742256872693, 0.32607257743127307, 0.32607257743127307,
                                             0.17392742256872693};
constexpr std::array<double, 3> line_at{0.11270166537925831, 0.5, 0.88729833462074169};
constexpr std::array<double, 3> line_weight{5.0 / 18.0, 8.0 / 18.0, 5.0 / 18.0};

}  // namespace

CellGrid make_cell(const CellProblem& problem, int per_pitch) {
    const double root3 = std::sqrt(3.0);
    CellGrid cell;
    cell.shape = problem.shape;
    cell.size = problem.size;
    switch (problem.lattice) {
        case Lattice::square:
            cell.width = cell.height = 1.0;
            cell.holes = {{0.5, 0.5}};
            break;
        case Lattice::triangular:
            cell.width = 1.0;
            cell.height = root3;
            cell.holes = {{0.0, 0.0}, {0.5, 0.5 * root3}};
            break;
        case Lattice::honeycomb:
            cell.width = root3;
            cell.height = 3.0;
            cell.holes = {{0.0, 0.0}, {0.5 * root3, 0.5}, {0.5 * root3, 1.5}, {0.0, 2.0}};
            break;
        case Lattice::list: throw std::logic_error("make_cell: a list of holes has no lattice cell");
    }
    cell.nx = static_cast<int>(std::lround(per_pitch * cell.width));
    cell.ny = static_cast<int>(std::lround(per_pitch * cell.height));
    cell.dx = cell.width / cell.nx;
    cell.dy = cell.height / cell.ny;
    return cell;
}

std::array<double, 4> corner_areas(const CellGrid& cell, int i, int j) {
    const double half = 0.5 * cell.dx * cell.dy;
    std::array<double, 4> area{half, half, half, half};
    const auto near = near_holes(cell, i, j);
    if (near.empty()) return area;
    const std::vector<Point> corners = figure(cell.shape, cell.size);
    const double x0 = i * cell.dx, x1 = x0 + cell.dx, y0 = j * cell.dy, y1 = y0 + cell.dy;
    const Point ll{x0, y0}, lr{x1, y0}, ul{x0, y1}, ur{x1, y1};
    const std::array<std::vector<Point>, 4> triangles{
        std::vector<Point>{ll, lr, ul}, {lr, ur, ll}, {ul, ll, ur}, {ur, ul, lr}};
    for (std::size_t t = 0; t < 4; ++t) {
        for (const Point& c : near) {
            std::vector<Point> moved;
            for (const Point& p : triangles[t]) moved.push_back({p.x - c.x, p.y - c.y});
            area[t] -= corners.empty() ? in_circle(moved, 0.5 * cell.size) : in_figure(moved, corners);
        }
        if (area[t] < 1e-9 * half) area[t] = 0.0;
    }
    return area;
}

std::vector<FilmPoint> film_points(const CellGrid& cell, int i, int j, bool& whole) {
    const auto near = near_holes(cell, i, j);
    const std::vector<Point> corners = figure(cell.shape, cell.size);
    const double x0 = i * cell.dx, y0 = j * cell.dy;
    std::vector<double> breaks{y0, y0 + cell.dy};
    for (const Point& c : near)
        for (const double x : {x0, x0 + cell.dx}) add_breaks(cell, corners, c, x, breaks);
    for (double& y : breaks) y = std::clamp(y, y0, y0 + cell.dy);
    std::sort(breaks.begin(), breaks.end());
    std::vector<FilmPoint> points;
    whole = true;
    for (std::size_t b = 0; b + 1 < breaks.size(); ++b) {
        const double thick = breaks[b + 1] - breaks[b];
        if (thick < 1e-13) continue;
        for (std::size_t g = 0; g < 4; ++g) {
            const double y = breaks[b] + gauss_at[g] * thick;
            // Film intervals of this line: the cell's width minus the chords of the holes.
            std::vector<std::array<double, 2>> free{{x0, x0 + cell.dx}};
            for (const Point& c : near) {
                const auto hole = chord(cell, corners, y - c.y);
                std::vector<std::array<double, 2>> left;
                for (const auto& f : free) {
                    const double a = std::min(f[1], c.x + hole[0]), z = std::max(f[0], c.x + hole[1]);
                    if (hole[0] >= hole[1] || a >= f[1] || z <= f[0]) {
                        left.push_back(f);
                        continue;
                    }
                    if (a > f[0]) left.push_back({f[0], a});
                    if (z < f[1]) left.push_back({z, f[1]});
                }
                free = left;
            }
            if (free.size() != 1 || free[0][0] != x0 || free[0][1] != x0 + cell.dx) whole = false;
            for (const auto& f : free)
                for (std::size_t q = 0; q < 3; ++q)
                    points.push_back({(f[0] + line_at[q] * (f[1] - f[0]) - x0) / cell.dx, (y - y0) / cell.dy,
                                      gauss_weight[g] * thick * line_weight[q] * (f[1] - f[0])});
        }
    }
    return points;
}

}  // namespace tymbal

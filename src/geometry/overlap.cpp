#include "tymbal/geometry/overlap.h"

#include <algorithm>
#include <array>
#include <cmath>
#include <limits>
#include <map>
#include <numeric>
#include <stdexcept>

namespace tymbal {

namespace {

/// Twice the area of a triangle, with its sign.
double turn(Point a, Point b, Point c) {
    return (b.x - a.x) * (c.y - a.y) - (b.y - a.y) * (c.x - a.x);
}

bool within_box(Point a, Point b, Point p) {
    return std::min(a.x, b.x) <= p.x && p.x <= std::max(a.x, b.x) && std::min(a.y, b.y) <= p.y &&
           p.y <= std::max(a.y, b.y);
}

bool segments_meet(Point a, Point b, Point c, Point d) {
    const double t1 = turn(a, b, c), t2 = turn(a, b, d), t3 = turn(c, d, a), t4 = turn(c, d, b);
    if (((t1 > 0) != (t2 > 0)) && ((t3 > 0) != (t4 > 0)) && t1 != 0 && t2 != 0 && t3 != 0 && t4 != 0) return true;
    return (t1 == 0 && within_box(a, b, c)) || (t2 == 0 && within_box(a, b, d)) || (t3 == 0 && within_box(c, d, a)) ||
           (t4 == 0 && within_box(c, d, b));
}

/// Holes sorted into squares wider than any figure reaches: only those in the squares round a hole can meet it.
using Squares = std::map<std::array<long, 2>, std::vector<Point>>;

bool meets_any(const HolePattern& pattern, Point p, const std::vector<Point>& others) {
    const double c = std::cos(pattern.angle_rad), s = std::sin(pattern.angle_rad);
    return std::any_of(others.begin(), others.end(), [&](Point q) {
        const Point d{p.x - q.x, p.y - q.y};
        return gap_between(pattern.shape, pattern.size.si(), {c * d.x + s * d.y, -s * d.x + c * d.y}) <= 0.0;
    });
}

bool list_overlaps(const HolePattern& pattern) {
    const double square = 1.5 * pattern.size.si();
    Squares squares;
    for (const Point p : pattern.centres) {
        const long column = std::lround(p.x / square), row = std::lround(p.y / square);
        for (const long i : {column - 1, column, column + 1})
            for (const long j : {row - 1, row, row + 1}) {
                const auto found = squares.find({i, j});
                if (found != squares.end() && meets_any(pattern, p, found->second)) return true;
            }
        squares[{column, row}].push_back(p);
    }
    return false;
}

}  // namespace

double gap_between(HoleShape shape, double size, Point offset) {
    // Two equal, centrally symmetric convex figures meet when the offset lies in the figure of twice the size.
    switch (shape) {
        case HoleShape::circle: return std::hypot(offset.x, offset.y) - size;
        case HoleShape::square: {
            const double x = std::abs(offset.x) - size, y = std::abs(offset.y) - size;
            return x > 0.0 && y > 0.0 ? std::hypot(x, y) : std::max(x, y);
        }
        case HoleShape::hexagon: {
            const double half_root3 = 0.5 * std::sqrt(3.0);
            return std::max({std::abs(offset.y), std::abs(half_root3 * offset.x + 0.5 * offset.y),
                             std::abs(half_root3 * offset.x - 0.5 * offset.y)}) -
                   size;
        }
    }
    throw std::logic_error("gap_between: unhandled hole shape");
}

double lattice_ligament(Lattice lattice, HoleShape shape, double size) {
    double least = std::numeric_limits<double>::infinity();
    for (const Point& offset : neighbour_offsets(lattice)) least = std::min(least, gap_between(shape, size, offset));
    return least;
}

std::vector<Point> neighbour_offsets(Lattice lattice) {
    const double half_root3 = 0.5 * std::sqrt(3.0);
    switch (lattice) {
        case Lattice::square: return {{1, 0}, {0, 1}, {1, 1}, {1, -1}};
        case Lattice::triangular: return {{1, 0}, {0.5, half_root3}, {-0.5, half_root3}, {0, 2 * half_root3}};
        case Lattice::honeycomb:
            return {{half_root3, 0.5},   {-half_root3, 0.5}, {0, 1},
                    {2 * half_root3, 0}, {half_root3, 1.5},  {-half_root3, 1.5}};
        case Lattice::list: break;
    }
    throw std::logic_error("neighbour_offsets: a list of holes has no lattice");
}

bool pattern_overlaps(const HolePattern& pattern) {
    if (pattern.lattice == Lattice::list) return list_overlaps(pattern);
    return lattice_ligament(pattern.lattice, pattern.shape, pattern.size.si() / pattern.pitch.si()) <= 0.0;
}

std::optional<std::array<std::size_t, 2>> crossing_edges(const std::vector<Point>& v) {
    const std::size_t n = v.size();
    const auto end = [&](std::size_t k) { return v[(k + 1) % n]; };
    const auto left = [&](std::size_t k) { return std::min(v[k].x, end(k).x); };
    std::vector<std::size_t> order(n);
    std::iota(order.begin(), order.end(), std::size_t{0});
    std::sort(order.begin(), order.end(), [&](std::size_t a, std::size_t b) { return left(a) < left(b); });
    for (std::size_t p = 0; p < n; ++p) {
        const std::size_t a = order[p];
        const double right = std::max(v[a].x, end(a).x);
        for (std::size_t q = p + 1; q < n && left(order[q]) <= right; ++q) {
            const std::size_t b = order[q];
            const bool neighbours = (a + 1) % n == b || (b + 1) % n == a;
            if (!neighbours && segments_meet(v[a], end(a), v[b], end(b)))
                return std::array{std::min(a, b), std::max(a, b)};
        }
    }
    return std::nullopt;
}

}  // namespace tymbal

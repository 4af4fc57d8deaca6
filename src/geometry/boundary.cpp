#include "tymbal/geometry/boundary.h"

#include "tymbal/base/error.h"
#include "tymbal/geometry/front.h"

#include <algorithm>
#include <array>
#include <cmath>
#include <limits>

namespace tymbal {

namespace {

/// Right, top, left and bottom of a circle, exactly: neighbouring arcs must share their end points to the last bit, or
/// a grid line may see one of them and miss the other.
Point extreme(Point centre, double radius, int q) {
    constexpr std::array<Point, 4> directions{{{1, 0}, {0, 1}, {-1, 0}, {0, -1}}};
    const Point d = directions[static_cast<std::size_t>(q % 4)];
    return {centre.x + radius * d.x, centre.y + radius * d.y};
}

/// Quarter arc number q (0: first quadrant), walked with the film on the left.
Edge quarter(Point centre, double radius, int q, bool outward, int loop) {
    const Point first = extreme(centre, radius, q);
    const Point last = extreme(centre, radius, q + 1);
    if (outward) return {first, last, centre, radius, true, loop};
    return {last, first, centre, radius, false, loop};
}

void add_circle(Boundary& rim, double radius, bool outward, int loop) {
    for (int q = 0; q < 4; ++q) rim.push_back(quarter({}, radius, outward ? q : 3 - q, outward, loop));
}

void add_line(Boundary& rim, Point a, Point b) {
    if (a.x != b.x || a.y != b.y) rim.push_back({a, b, {}, 0.0, true, 0});
}

void require_inside(bool something_left) {
    if (!something_left)
        throw NoAnswer(
            "the clamped-edge bending layer is as wide as the outline; the film behaves as a plate at every "
            "scale, use a larger outline, a thinner film or more tension");
}

Boundary trace(const Rectangle& r, double inset) {
    const double half_w = 0.5 * r.width.si() - inset;
    const double half_h = 0.5 * r.height.si() - inset;
    require_inside(half_w > 0.0 && half_h > 0.0);
    const double radius = std::max(0.0, r.corner_radius.si() - inset);
    Boundary rim;
    const double cx = half_w - radius;
    const double cy = half_h - radius;
    add_line(rim, {half_w, -cy}, {half_w, cy});
    if (radius > 0.0) rim.push_back(quarter({cx, cy}, radius, 0, true, 0));
    add_line(rim, {cx, half_h}, {-cx, half_h});
    if (radius > 0.0) rim.push_back(quarter({-cx, cy}, radius, 1, true, 0));
    add_line(rim, {-half_w, cy}, {-half_w, -cy});
    if (radius > 0.0) rim.push_back(quarter({-cx, -cy}, radius, 2, true, 0));
    add_line(rim, {-cx, -half_h}, {cx, -half_h});
    if (radius > 0.0) rim.push_back(quarter({cx, -cy}, radius, 3, true, 0));
    return rim;
}

Boundary trace(const Disc& d, double inset) {
    const double radius = 0.5 * d.diameter.si() - inset;
    require_inside(radius > 0.0);
    Boundary rim;
    add_circle(rim, radius, true, 0);
    return rim;
}

Boundary trace(const Ring& r, double inset) {
    const double outer = 0.5 * r.outer_diameter.si() - inset;
    const double inner = 0.5 * r.inner_diameter.si() + inset;
    require_inside(outer > inner);
    Boundary rim;
    add_circle(rim, outer, true, 0);
    add_circle(rim, inner, false, 1);
    return rim;
}

/// Corner between two edges of a polygon, both moved inwards by `inset`.
Point mitre(Point before, Point corner, Point after, double inset) {
    const double l1 = std::hypot(corner.x - before.x, corner.y - before.y);
    const double l2 = std::hypot(after.x - corner.x, after.y - corner.y);
    const Point n1{-(corner.y - before.y) / l1, (corner.x - before.x) / l1};  // into the film
    const Point n2{-(after.y - corner.y) / l2, (after.x - corner.x) / l2};
    const double scale = inset / std::max(1e-6, 1.0 + n1.x * n2.x + n1.y * n2.y);
    return {corner.x + scale * (n1.x + n2.x), corner.y + scale * (n1.y + n2.y)};
}

Boundary trace(const Polygon& p, double inset) {
    const std::size_t n = p.vertices.size();
    std::vector<Point> moved(n);
    for (std::size_t k = 0; k < n; ++k)
        moved[k] = inset > 0.0 ? mitre(p.vertices[(k + n - 1) % n], p.vertices[k], p.vertices[(k + 1) % n], inset)
                               : p.vertices[k];
    Boundary rim;
    for (std::size_t k = 0; k < n; ++k) add_line(rim, moved[k], moved[(k + 1) % n]);
    const auto turned = [&](std::size_t k) {  // an edge that the inset has turned round has vanished
        const Point a = p.vertices[k], b = p.vertices[(k + 1) % n], c = moved[k], d = moved[(k + 1) % n];
        return (b.x - a.x) * (d.x - c.x) + (b.y - a.y) * (d.y - c.y) <= 0.0;
    };
    for (std::size_t k = 0; k < n; ++k) require_inside(!turned(k));
    return rim;
}

Boundary trace(const Strip& s, double inset) {
    return trace(Rectangle{s.length, s.width, {}}, inset);
}

Boundary trace(const Released& r, double inset) {
    return inset > 0.0 ? inset_front(r.front, inset) : r.front;
}

/// Does the half-open rule see the edge at this level of the given coordinate?
bool spans(double a, double b, double level) {
    return (a <= level) != (b <= level);
}

Point arc_normal(const Edge& e, Point p) {
    const double sign = e.outward ? 1.0 : -1.0;
    return {sign * (p.x - e.centre.x) / e.radius, sign * (p.y - e.centre.y) / e.radius};
}

Point line_normal(const Edge& e) {
    const double dx = e.b.x - e.a.x;
    const double dy = e.b.y - e.a.y;
    const double length = std::hypot(dx, dy);
    return {dy / length, -dx / length};
}

Edge transposed(const Edge& e) {
    return {{e.a.y, e.a.x}, {e.b.y, e.b.x}, {e.centre.y, e.centre.x}, e.radius, e.outward, e.loop};
}

/// Crossing of a monotone edge with y = level; the caller has checked that the edge spans it.
Crossing meet(const Edge& e, double level) {
    if (e.radius == 0.0) {
        const double t = (level - e.a.y) / (e.b.y - e.a.y);
        return {e.a.x + t * (e.b.x - e.a.x), line_normal(e), e.loop, 0.0};
    }
    const double dy = level - e.centre.y;
    const double reach = std::sqrt(std::max(0.0, e.radius * e.radius - dy * dy));
    const double side = (e.a.x + e.b.x - 2.0 * e.centre.x) >= 0.0 ? 1.0 : -1.0;
    const Point p{e.centre.x + side * reach, level};
    return {p.x, arc_normal(e, p), e.loop, (e.outward ? 1.0 : -1.0) / e.radius};
}

void sort_along(std::vector<Crossing>& found) {
    std::sort(found.begin(), found.end(), [](const Crossing& a, const Crossing& b) { return a.at < b.at; });
}

double arc_angle(const Edge& e) {
    const double chord = std::hypot(e.b.x - e.a.x, e.b.y - e.a.y);
    return 2.0 * std::asin(std::min(1.0, 0.5 * chord / e.radius));
}

double length(const Edge& e) {
    if (e.radius > 0.0) return e.radius * arc_angle(e);
    return std::hypot(e.b.x - e.a.x, e.b.y - e.a.y);
}

/// Distance of a point from one edge.
double distance(const Edge& e, Point p) {
    if (e.radius > 0.0) {
        const double ax = e.a.x - e.centre.x, ay = e.a.y - e.centre.y;
        const double bx = e.b.x - e.centre.x, by = e.b.y - e.centre.y;
        const double px = p.x - e.centre.x, py = p.y - e.centre.y;
        const double turn = ax * by - ay * bx;
        const bool within = (ax * py - ay * px) * turn >= 0.0 && (px * by - py * bx) * turn >= 0.0;
        if (within) return std::abs(std::hypot(px, py) - e.radius);
        return std::min(std::hypot(p.x - e.a.x, p.y - e.a.y), std::hypot(p.x - e.b.x, p.y - e.b.y));
    }
    const double dx = e.b.x - e.a.x, dy = e.b.y - e.a.y;
    const double t = std::clamp(((p.x - e.a.x) * dx + (p.y - e.a.y) * dy) / (dx * dx + dy * dy), 0.0, 1.0);
    return std::hypot(p.x - e.a.x - t * dx, p.y - e.a.y - t * dy);
}

}  // namespace

Boundary boundary(const Outline& outline, double inset_m) {
    return std::visit([inset_m](const auto& shape) { return trace(shape, inset_m); }, outline);
}

std::vector<Crossing> cross_horizontal(const Boundary& rim, double level) {
    std::vector<Crossing> found;
    for (const Edge& e : rim)
        if (spans(e.a.y, e.b.y, level)) found.push_back(meet(e, level));
    sort_along(found);
    return found;
}

std::vector<Crossing> cross_vertical(const Boundary& rim, double level) {
    std::vector<Crossing> found;
    for (const Edge& e : rim) {
        if (!spans(e.a.x, e.b.x, level)) continue;
        Crossing c = meet(transposed(e), level);
        // Mirroring at the diagonal keeps radial normals and turns those of lines round.
        const double sign = e.radius == 0.0 ? -1.0 : 1.0;
        c.normal = {sign * c.normal.y, sign * c.normal.x};
        found.push_back(c);
    }
    sort_along(found);
    return found;
}

double area(const Boundary& rim) {
    double twice = 0.0;
    for (const Edge& e : rim) {
        twice += e.a.x * e.b.y - e.b.x * e.a.y;
        if (e.radius == 0.0) continue;
        const double angle = arc_angle(e);  // circular segment between chord and arc
        twice += (e.outward ? 1.0 : -1.0) * e.radius * e.radius * (angle - std::sin(angle));
    }
    return 0.5 * twice;
}

double perimeter(const Boundary& rim) {
    double sum = 0.0;
    for (const Edge& e : rim) sum += length(e);
    return sum;
}

Box bounding_box(const Boundary& rim) {
    std::vector<Point> ends;  // monotone arcs: the end points carry the extremes
    for (const Edge& e : rim) ends.insert(ends.end(), {e.a, e.b});
    return bounding_box(ends);
}

Box bounding_box(const std::vector<Point>& points) {
    Box box{points.front(), points.front()};
    for (const Point& p : points) {
        box.low = {std::min(box.low.x, p.x), std::min(box.low.y, p.y)};
        box.high = {std::max(box.high.x, p.x), std::max(box.high.y, p.y)};
    }
    return box;
}

double signed_distance(const Boundary& rim, Point p) {
    double nearest = std::numeric_limits<double>::infinity();
    int left = 0;
    for (const Edge& e : rim) {
        nearest = std::min(nearest, distance(e, p));
        if (spans(e.a.y, e.b.y, p.y) && meet(e, p.y).at < p.x) ++left;
    }
    return left % 2 == 1 ? nearest : -nearest;
}

}  // namespace tymbal

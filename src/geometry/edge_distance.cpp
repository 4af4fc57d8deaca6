// Two curves that do not meet are nearest at an end of one of them, or where a common normal meets both: for lines and
// arcs the normal through the arcs' centres.
#include "edge_distance.h"

#include <algorithm>
#include <cmath>

namespace tymbal {

namespace {

constexpr double rounding = 1e-9;  // of a radius, for a point that was put on its circle

Point plus(Point p, Point q, double share = 1.0) {
    return {p.x + share * q.x, p.y + share * q.y};
}

Point minus(Point p, Point q) {
    return plus(p, q, -1.0);
}

double dot(Point p, Point q) {
    return p.x * q.x + p.y * q.y;
}

double cross(Point p, Point q) {
    return p.x * q.y - p.y * q.x;
}

double length(Point p) {
    return std::hypot(p.x, p.y);
}

bool is_arc(const Edge& e) {
    return e.radius > 0.0;
}

/// Whether a point of the circle lies on the arc, which is monotone in x and in y.
bool holds(const Edge& arc, Point p) {
    const double slack = rounding * arc.radius;
    const auto [left, right] = std::minmax(arc.a.x, arc.b.x);
    const auto [low, high] = std::minmax(arc.a.y, arc.b.y);
    return p.x >= left - slack && p.x <= right + slack && p.y >= low - slack && p.y <= high + slack;
}

/// Where the foot of the perpendicular from `p` falls, in lengths of the line from its beginning.
double foot(const Edge& line, Point p) {
    const Point along = minus(line.b, line.a);
    return dot(minus(p, line.a), along) / std::max(dot(along, along), 1e-300);
}

double point_to_edge(Point p, const Edge& e) {
    const double ends = std::min(length(minus(p, e.a)), length(minus(p, e.b)));
    if (!is_arc(e)) {
        const double at = std::clamp(foot(e, p), 0.0, 1.0);
        return length(minus(p, plus(e.a, minus(e.b, e.a), at)));
    }
    const Point out = minus(p, e.centre);
    const double away = length(out);
    if (!(away > 0.0)) return e.radius;
    return holds(e, plus(e.centre, out, e.radius / away)) ? std::abs(away - e.radius) : ends;
}

double by_ends(const Edge& a, const Edge& b) {
    return std::min({point_to_edge(a.a, b), point_to_edge(a.b, b), point_to_edge(b.a, a), point_to_edge(b.b, a)});
}

bool lines_cross(const Edge& a, const Edge& b) {
    const auto sides = [](const Edge& line, const Edge& other) {
        const Point along = minus(line.b, line.a);
        return cross(along, minus(other.a, line.a)) * cross(along, minus(other.b, line.a));
    };
    return sides(a, b) < 0.0 && sides(b, a) < 0.0;
}

double line_to_arc(const Edge& line, const Edge& arc) {
    const Point along = minus(line.b, line.a);
    const double at = foot(line, arc.centre), span = length(along);
    const Point nearest = plus(line.a, along, at), out = minus(nearest, arc.centre);
    const double away = length(out), ends = by_ends(line, arc);
    if (away < arc.radius) {  // the whole line cuts the circle twice
        const double half = std::sqrt(arc.radius * arc.radius - away * away) / std::max(span, 1e-300);
        for (const double t : {at - half, at + half})
            if (t >= 0.0 && t <= 1.0 && holds(arc, plus(line.a, along, t))) return 0.0;
    }
    const bool normal = at >= 0.0 && at <= 1.0 && away > 0.0 && holds(arc, plus(arc.centre, out, arc.radius / away));
    return normal ? std::min(ends, std::abs(away - arc.radius)) : ends;
}

/// @param along  unit vector from a's centre to b's, `apart` long
bool arcs_cross(const Edge& a, const Edge& b, Point along, double apart) {
    if (apart > a.radius + b.radius || apart < std::abs(a.radius - b.radius)) return false;
    const double in = 0.5 * (apart + (a.radius - b.radius) * (a.radius + b.radius) / apart);
    const double aside = std::sqrt(std::max(0.0, a.radius * a.radius - in * in));
    for (const double side : {-aside, aside}) {
        const Point p = plus(plus(a.centre, along, in), {-along.y, along.x}, side);
        if (holds(a, p) && holds(b, p)) return true;
    }
    return false;
}

double arc_to_arc(const Edge& a, const Edge& b) {
    double least = by_ends(a, b);
    const Point between = minus(b.centre, a.centre);
    const double apart = length(between);
    if (!(apart > rounding * a.radius)) return least;  // about one centre: as near at their ends as anywhere
    const Point along{between.x / apart, between.y / apart};
    if (arcs_cross(a, b, along, apart)) return 0.0;
    for (const double one : {-a.radius, a.radius})
        for (const double other : {-b.radius, b.radius}) {
            const Point p = plus(a.centre, along, one), q = plus(b.centre, along, other);
            if (holds(a, p) && holds(b, q)) least = std::min(least, length(minus(p, q)));
        }
    return least;
}

}  // namespace

double distance(const Edge& a, const Edge& b) {
    if (is_arc(a) && is_arc(b)) return arc_to_arc(a, b);
    if (is_arc(b)) return line_to_arc(a, b);
    if (is_arc(a)) return line_to_arc(b, a);
    return lines_cross(a, b) ? 0.0 : by_ends(a, b);
}

}  // namespace tymbal

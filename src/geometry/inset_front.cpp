#include "tymbal/geometry/front.h"

#include "tymbal/base/error.h"

#include <algorithm>
#include <cmath>
#include <limits>
#include <utility>

namespace tymbal {

namespace {

[[noreturn]] void refuse_neck() {
    throw NoAnswer(
        "the released film has a neck narrower than the bending layer at its clamped edge; it is not one membrane: let "
        "the fronts merge further by a larger undercut or a smaller pitch");
}

/// Unit vector into the film at an end of an edge; the film lies on the left, on the centre's side of arcs.
Point inwards(const Edge& e, Point at) {
    if (e.radius > 0.0) return {(e.centre.x - at.x) / e.radius, (e.centre.y - at.y) / e.radius};
    const double length = std::hypot(e.b.x - e.a.x, e.b.y - e.a.y);
    return {-(e.b.y - e.a.y) / length, (e.b.x - e.a.x) / length};
}

/// An edge's carrier, moved inwards: a circle (radius > 0) or a line through `through` along `along`.
struct Carrier {
    Point centre;
    double radius = 0.0;
    Point through, along;
};

Carrier carrier(const Edge& e, double inset) {
    if (e.radius > 0.0) {
        if (e.radius <= inset) refuse_neck();
        return {e.centre, e.radius - inset, {}, {}};
    }
    const Point n = inwards(e, e.a);
    return {{}, 0.0, {e.a.x + inset * n.x, e.a.y + inset * n.y}, {n.y, -n.x}};
}

std::vector<Point> meetings(const Carrier& a, const Carrier& b) {
    if (a.radius == 0.0 && b.radius == 0.0) {
        const double det = a.along.x * b.along.y - a.along.y * b.along.x;
        if (det == 0.0) return {};
        const double t = ((b.through.x - a.through.x) * b.along.y - (b.through.y - a.through.y) * b.along.x) / det;
        return {{a.through.x + t * a.along.x, a.through.y + t * a.along.y}};
    }
    if (a.radius == 0.0) return meetings(b, a);
    if (b.radius == 0.0) {
        const double fx = b.through.x - a.centre.x, fy = b.through.y - a.centre.y;
        const double along = fx * b.along.x + fy * b.along.y;
        const double rest = along * along - (fx * fx + fy * fy - a.radius * a.radius);
        if (rest < 0.0) return {};
        const double root = std::sqrt(rest);
        return {{b.through.x + (-along - root) * b.along.x, b.through.y + (-along - root) * b.along.y},
                {b.through.x + (-along + root) * b.along.x, b.through.y + (-along + root) * b.along.y}};
    }
    const double dx = b.centre.x - a.centre.x, dy = b.centre.y - a.centre.y;
    const double d2 = dx * dx + dy * dy;
    if (d2 == 0.0) return {};
    const double along = 0.5 * (1.0 + (a.radius * a.radius - b.radius * b.radius) / d2);
    const double rest = a.radius * a.radius / d2 - along * along;
    if (rest < 0.0) return {};
    const double across = std::sqrt(rest);
    return {{a.centre.x + along * dx + across * dy, a.centre.y + along * dy - across * dx},
            {a.centre.x + along * dx - across * dy, a.centre.y + along * dy + across * dx}};
}

/// Where the moved edges meet, next to where they met before.
Point moved_corner(const Edge& before, const Edge& after, double inset) {
    const Point corner = before.b;
    const Point n1 = inwards(before, corner), n2 = inwards(after, corner);
    if (n1.x * n2.x + n1.y * n2.y > 1.0 - 1e-10)  // no corner
        return {corner.x + inset * n1.x, corner.y + inset * n1.y};
    Point best{};
    double nearest = std::numeric_limits<double>::infinity();
    for (const Point& p : meetings(carrier(before, inset), carrier(after, inset))) {
        const double d = std::hypot(p.x - corner.x, p.y - corner.y);
        if (d < nearest) {
            nearest = d;
            best = p;
        }
    }
    if (!std::isfinite(nearest)) refuse_neck();
    return best;
}

bool turned_round(const Edge& before, const Edge& after) {
    if (before.radius == 0.0)
        return (before.b.x - before.a.x) * (after.b.x - after.a.x) +
                   (before.b.y - before.a.y) * (after.b.y - after.a.y) <=
               0.0;
    const double ax = after.a.x - after.centre.x, ay = after.a.y - after.centre.y;
    const double bx = after.b.x - after.centre.x, by = after.b.y - after.centre.y;
    return ax * by - ay * bx <= 0.0;
}

/// One loop; edges that the inset has turned round have vanished and their neighbours meet instead.
Boundary inset_loop(Boundary loop, double inset) {
    for (;;) {
        const std::size_t n = loop.size();
        if (n < 2) refuse_neck();
        Boundary moved = loop;
        for (std::size_t k = 0; k < n; ++k) {
            const Point corner = moved_corner(loop[k], loop[(k + 1) % n], inset);
            moved[k].b = corner;
            moved[(k + 1) % n].a = corner;
            if (loop[k].radius > 0.0) moved[k].radius = loop[k].radius - inset;
        }
        Boundary kept;
        for (std::size_t k = 0; k < n; ++k)
            if (!turned_round(loop[k], moved[k])) kept.push_back(loop[k]);
        if (kept.size() == n) return moved;
        for (std::size_t k = 0; k < kept.size(); ++k) kept[k].b = kept[(k + 1) % kept.size()].a;
        loop = std::move(kept);
    }
}

}  // namespace

Boundary inset_front(const Boundary& rim, double inset) {
    Boundary out;
    for (std::size_t first = 0; first < rim.size();) {
        std::size_t last = first;
        while (last < rim.size() && rim[last].loop == rim[first].loop) ++last;
        const auto at = [&](std::size_t k) { return rim.begin() + static_cast<std::ptrdiff_t>(k); };
        const Boundary moved = inset_loop(Boundary(at(first), at(last)), inset);
        out.insert(out.end(), moved.begin(), moved.end());
        first = last;
    }
    return out;
}

}  // namespace tymbal

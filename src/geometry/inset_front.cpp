#include "tymbal/geometry/front.h"

#include "tymbal/base/constants.h"
#include "tymbal/base/error.h"
#include "tymbal/geometry/boundary.h"

#include "hole_index.h"

#include <algorithm>
#include <cmath>

namespace tymbal {

namespace {

constexpr double pi = constants::pi;

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

Point moved(Point p, Point direction, double by) {
    return {p.x + by * direction.x, p.y + by * direction.y};
}

bool is_corner(const Edge& before, const Edge& after) {
    const Point n1 = inwards(before, before.b), n2 = inwards(after, before.b);
    return n1.x * n2.x + n1.y * n2.y < 1.0 - 1e-10;
}

/// The clockwise arc round a corner that points into the film, from one end to the other, split where it turns back.
void add_round(Boundary& rim, Point corner, double inset, Point from, Point to, int loop) {
    double angle = std::atan2(from.y - corner.y, from.x - corner.x);
    double turn = angle - std::atan2(to.y - corner.y, to.x - corner.x);
    if (turn < 0.0) turn += 2.0 * pi;
    const double last_angle = angle - turn;
    Point last = from;
    for (double next = 0.5 * pi * (std::ceil(angle / (0.5 * pi) - 1e-9) - 1.0); next > last_angle + 1e-9;
         next -= 0.5 * pi) {
        const Point p{corner.x + inset * std::cos(next), corner.y + inset * std::sin(next)};
        rim.push_back({last, p, corner, inset, false, loop});
        last = p;
    }
    rim.push_back({last, to, corner, inset, false, loop});
}

/// Two corners closer than twice the inset with film between them: a neck that the inset closes.
void require_no_neck(const Boundary& rim, const std::vector<Point>& corners, double inset) {
    if (corners.size() < 2) return;
    const HoleIndex index(corners, 2.0 * inset);
    for (std::size_t k = 0; k < corners.size(); ++k) {
        const Point c = corners[k];
        index.near(c, 2.0 * inset, [&](std::size_t other) {
            if (other <= k || std::hypot(corners[other].x - c.x, corners[other].y - c.y) >= 2.0 * inset) return;
            const Point middle{0.5 * (corners[other].x + c.x), 0.5 * (corners[other].y + c.y)};
            if (signed_distance(rim, middle) > 0.0) refuse_neck();
        });
    }
}

}  // namespace

Boundary inset_front(const Boundary& rim, double inset) {
    Boundary out;
    std::vector<Point> corners;
    for (std::size_t first = 0; first < rim.size();) {
        std::size_t last = first;
        while (last < rim.size() && rim[last].loop == rim[first].loop) ++last;
        const std::size_t begin = out.size();
        for (std::size_t k = first; k < last; ++k) {
            const Edge &e = rim[k], &next = k + 1 < last ? rim[k + 1] : rim[first];
            if (e.radius > 0.0 && e.radius <= inset) refuse_neck();
            Edge shifted = e;
            shifted.radius = e.radius > 0.0 ? e.radius - inset : 0.0;
            shifted.a = out.size() > begin ? out.back().b : moved(e.a, inwards(e, e.a), inset);
            shifted.b = moved(e.b, inwards(e, e.b), inset);
            out.push_back(shifted);
            if (!is_corner(e, next)) continue;
            corners.push_back(e.b);
            add_round(out, e.b, inset, shifted.b, moved(e.b, inwards(next, e.b), inset), e.loop);
        }
        out.back().b = out[begin].a;
        first = last;
    }
    require_no_neck(rim, corners, inset);
    return out;
}

}  // namespace tymbal

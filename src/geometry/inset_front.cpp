#include "tymbal/geometry/front.h"

#include "tymbal/base/constants.h"
#include "tymbal/base/error.h"

#include "hole_index.h"

#include <algorithm>
#include <cmath>

namespace tymbal {

namespace {

using constants::pi;

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

/// A corner that points into the film, and the directions of the arc that goes round it.
struct Corner {
    Point place;
    double first = 0.0;  ///< angle of the normal of the edge after it
    double turn = 0.0;   ///< from there counter-clockwise to the normal of the edge before
    [[nodiscard]] bool faces(Point p) const {
        double angle = std::atan2(p.y - place.y, p.x - place.x) - first;
        angle -= 2.0 * pi * std::floor(angle / (2.0 * pi));
        return angle < turn;
    }
};

/// Two corners closer than twice the inset that face each other: a neck that the inset closes.
void require_no_neck(const std::vector<Corner>& corners, double inset) {
    if (corners.size() < 2) return;
    std::vector<Point> places;
    for (const Corner& c : corners) places.push_back(c.place);
    const HoleIndex index(places, 2.0 * inset);
    for (std::size_t k = 0; k < corners.size(); ++k) {
        const Corner& c = corners[k];
        index.near(c.place, 2.0 * inset, [&](std::size_t other) {
            const Corner& o = corners[other];
            if (other > k && std::hypot(o.place.x - c.place.x, o.place.y - c.place.y) < 2.0 * inset &&
                c.faces(o.place) && o.faces(c.place))
                refuse_neck();
            return true;
        });
    }
}

}  // namespace

Boundary inset_front(const Boundary& rim, double inset) {
    Boundary out;
    std::vector<Corner> corners;
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
            const Point before = inwards(e, e.b), after = inwards(next, e.b);
            const double turn =
                std::atan2(after.x * before.y - after.y * before.x, after.x * before.x + after.y * before.y);
            corners.push_back({e.b, std::atan2(after.y, after.x), turn < 0.0 ? turn + 2.0 * pi : turn});
            add_round(out, e.b, inset, shifted.b, moved(e.b, after, inset), e.loop);
        }
        out.back().b = out[begin].a;
        first = last;
    }
    require_no_neck(corners, inset);
    return out;
}

}  // namespace tymbal

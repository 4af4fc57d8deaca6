#include "tymbal/geometry/front.h"

#include "tymbal/base/constants.h"
#include "tymbal/base/error.h"
#include "tymbal/geometry/boundary.h"

#include "hole_index.h"
#include "stitch.h"

#include <algorithm>
#include <array>
#include <atomic>
#include <cmath>
#include <future>
#include <thread>
#include <utility>

namespace tymbal {

namespace {

using constants::pi;
// Relative to the front's reach: shorter pieces are rounding, ends closer than this meet.
constexpr double shortest = 1e-10;
constexpr std::size_t most_comparisons = 400'000'000;  // of holes with pieces: a second or two
constexpr double meeting = 1e-6;                       // where fronts touch, rounding moves corners by its root

Point turned(Point p, double angle) {
    const double c = std::cos(angle), s = std::sin(angle);
    return {c * p.x - s * p.y, s * p.x + c * p.y};
}

std::vector<Point> turned_figure(const PlacedHoles& holes) {
    std::vector<Point> corners;
    for (const Point& p : figure(holes.shape, holes.size)) corners.push_back(turned(p, holes.angle_rad));
    return corners;
}

Point on_circle(Point centre, double radius, double angle) {
    return {centre.x + radius * std::cos(angle), centre.y + radius * std::sin(angle)};
}

/// Counter-clockwise arc from a to b over the angles from..to, split where it turns back in x or y.
void add_arc(Boundary& rim, Point centre, double radius, std::array<double, 2> angles, std::array<Point, 2> ends) {
    Point last = ends[0];
    double next = 0.5 * pi * (std::floor(angles[0] / (0.5 * pi) + 1e-9) + 1.0);
    for (; next < angles[1] - 1e-9; next += 0.5 * pi) {
        const Point p = on_circle(centre, radius, next);
        rim.push_back({last, p, centre, radius, true, 0});
        last = p;
    }
    rim.push_back({last, ends[1], centre, radius, true, 0});
}

/// One hole at the origin, grown by `undercut`: counter-clockwise lines and monotone arcs.
Boundary grown(const PlacedHoles& holes, double undercut) {
    Boundary rim;
    const std::vector<Point> corners = turned_figure(holes);
    if (corners.empty()) {
        const double radius = 0.5 * holes.size + undercut;
        const Point right{radius, 0.0};
        add_arc(rim, {}, radius, {0.0, 2.0 * pi}, {right, right});
        return rim;
    }
    const std::size_t n = corners.size();
    const auto side_normal = [&](std::size_t k) {
        const Point a = corners[k % n], b = corners[(k + 1) % n];
        const double length = std::hypot(b.x - a.x, b.y - a.y);
        return Point{(b.y - a.y) / length, -(b.x - a.x) / length};
    };
    const auto moved = [undercut](Point p, Point normal) {
        return Point{p.x + undercut * normal.x, p.y + undercut * normal.y};
    };
    for (std::size_t k = 0; k < n; ++k) {
        const Point here = side_normal(k), there = side_normal(k + 1), corner = corners[(k + 1) % n];
        const Point end = moved(corner, here);
        rim.push_back({moved(corners[k], here), end, {}, 0.0, true, 0});
        const double from = std::atan2(here.y, here.x);
        const double turn = 2.0 * pi / static_cast<double>(n);
        add_arc(rim, corner, undercut, {from, from + turn}, {end, moved(corner, there)});
    }
    return rim;
}

Edge shifted(Edge e, Point by) {
    for (Point* p : {&e.a, &e.b, &e.centre}) *p = {p->x + by.x, p->y + by.y};
    return e;
}

/// Angle from the arc's beginning, counter-clockwise, 0 to 2 pi; a hair before the beginning counts as zero.
double angle_along(const Edge& e, Point p) {
    const double ax = e.a.x - e.centre.x, ay = e.a.y - e.centre.y;
    const double px = p.x - e.centre.x, py = p.y - e.centre.y;
    const double angle = std::atan2(ax * py - ay * px, ax * px + ay * py);
    return angle < -1e-12 ? angle + 2.0 * pi : std::max(0.0, angle);
}

/// Where the unbounded line through a with direction d meets a circle.
void line_circle(Point a, Point d, const Edge& circle, std::vector<Point>& out) {
    const double fx = a.x - circle.centre.x, fy = a.y - circle.centre.y;
    const double dd = d.x * d.x + d.y * d.y, fd = fx * d.x + fy * d.y;
    const double rest = fd * fd - dd * (fx * fx + fy * fy - circle.radius * circle.radius);
    if (rest < 0.0) return;
    for (const double sign : {-1.0, 1.0}) {
        const double t = (-fd + sign * std::sqrt(rest)) / dd;
        out.push_back({a.x + t * d.x, a.y + t * d.y});
    }
}

/// Where two circles of the same radius meet.
void circle_circle(const Edge& a, const Edge& b, std::vector<Point>& out) {
    const double dx = b.centre.x - a.centre.x, dy = b.centre.y - a.centre.y;
    const double d2 = dx * dx + dy * dy;
    const double rest = a.radius * a.radius - 0.25 * d2;
    if (rest < 0.0 || d2 == 0.0) return;
    const double across = std::sqrt(rest / d2);
    for (const double sign : {-1.0, 1.0})
        out.push_back({a.centre.x + 0.5 * dx - sign * across * dy, a.centre.y + 0.5 * dy + sign * across * dx});
}

/// Points where the curves that two edges lie on meet; edges of one front only, so all arcs have one radius.
void meet(const Edge& e, const Edge& f, std::vector<Point>& out) {
    const Point de{e.b.x - e.a.x, e.b.y - e.a.y}, df{f.b.x - f.a.x, f.b.y - f.a.y};
    if (e.radius > 0.0 && f.radius > 0.0) return circle_circle(e, f, out);
    if (e.radius > 0.0) return line_circle(f.a, df, e, out);
    if (f.radius > 0.0) return line_circle(e.a, de, f, out);
    const double det = de.x * df.y - de.y * df.x;
    if (std::abs(det) < 1e-12 * std::hypot(de.x, de.y) * std::hypot(df.x, df.y)) return;
    const double t = ((f.a.x - e.a.x) * df.y - (f.a.y - e.a.y) * df.x) / det;
    out.push_back({e.a.x + t * de.x, e.a.y + t * de.y});
}

using Intervals = std::vector<std::array<double, 2>>;

/// @return whether that takes anything away
bool subtract(Intervals& free, double from, double to) {
    if (std::none_of(free.begin(), free.end(), [&](const auto& f) { return f[0] < to && f[1] > from; })) return false;
    Intervals kept;
    for (const auto& [a, b] : free) {
        if (a < from) kept.push_back({a, std::min(b, from)});
        if (b > to) kept.push_back({std::max(a, to), b});
    }
    free = std::move(kept);
    return true;
}

/// An edge of one grown hole and the parts of it that no other hole has covered so far.
struct Piece {
    Edge edge;
    double from = 0.0, turn = 0.0;  ///< of an arc: angle at a, and from there to b
    Intervals free{{0.0, 1.0}};
    Point middle{};     ///< of a circle round all that is free: what lies farther off covers none of it. With a wide
    double half = 0.0;  ///< undercut little is free and many holes are asked, so this decides the time.

    explicit Piece(const Edge& e) : edge(e) {
        if (e.radius > 0.0) from = std::atan2(e.a.y - e.centre.y, e.a.x - e.centre.x), turn = angle_along(e, e.b);
        settle();
    }

    /// Of a point on the edge, 0 at a and 1 at b.
    [[nodiscard]] double parameter(Point p) const {
        if (edge.radius > 0.0) return angle_along(edge, p) / turn;
        const double dx = edge.b.x - edge.a.x, dy = edge.b.y - edge.a.y;
        return ((p.x - edge.a.x) * dx + (p.y - edge.a.y) * dy) / (dx * dx + dy * dy);
    }

    [[nodiscard]] Point at(double t) const {
        if (t <= 0.0) return edge.a;
        if (t >= 1.0) return edge.b;
        if (edge.radius > 0.0) return on_circle(edge.centre, edge.radius, from + t * turn);
        return {edge.a.x + t * (edge.b.x - edge.a.x), edge.a.y + t * (edge.b.y - edge.a.y)};
    }

    /// Puts the circle round what is free.
    void settle() {
        if (free.empty()) return;
        const Point a = at(free.front()[0]), b = at(free.back()[1]);
        middle = {0.5 * (a.x + b.x), 0.5 * (a.y + b.y)};
        half = std::hypot(b.x - a.x, b.y - a.y);  // arcs of at most a quarter stay well within twice their half chord
    }
};

/// Everything the clipping of one front needs.
struct Cutter {
    const PlacedHoles& holes;
    double undercut;
    double reach;     ///< farthest point of a grown hole from its centre
    Boundary figure;  ///< grown hole at the origin
    std::atomic<std::size_t>& comparisons;

    /// A front over very many holes at once, as a wide undercut makes it at the field's edge, has no bound in time.
    /// Counted over all holes, so that the answer is the same on any number of threads.
    void spend(std::size_t more) const {
        if ((comparisons += more) > most_comparisons)
            throw NoAnswer(
                "the undercut is so wide that each etch front meets those of very many holes (more than 400 million "
                "comparisons); use a shorter undercut, a larger pitch or a smaller field");
    }

    /// Takes away what the grown hole at `other` covers of the piece.
    void cut(Piece& piece, Point other) const {
        const double x = piece.middle.x - other.x, y = piece.middle.y - other.y, near = reach + piece.half;
        if (x * x + y * y > near * near) return;
        const Edge& e = piece.edge;
        std::vector<Point> points;
        if (holes.shape == HoleShape::circle) {
            circle_circle(e, shifted(figure.front(), other), points);
            if (points.empty()) return;
        } else {
            for (const Edge& f : figure) meet(e, shifted(f, other), points);
        }
        std::vector<double> stops{0.0, 1.0};
        for (const Point& p : points) {
            const double t = piece.parameter(p);
            if (t > 0.0 && t < 1.0) stops.push_back(t);
        }
        std::sort(stops.begin(), stops.end());
        bool less = false;
        for (std::size_t k = 0; k + 1 < stops.size(); ++k) {
            const Point middle = piece.at(0.5 * (stops[k] + stops[k + 1]));
            if (distance_to_hole(holes, other, middle) < undercut)
                less = subtract(piece.free, stops[k], stops[k + 1]) || less;
        }
        if (less) piece.settle();
    }
};

/// The pieces of the hole number `own` that no other covers: neighbours ring by ring outwards, until nothing is left to
/// cover, which for a hole inside a field is soon.
void uncovered(const Cutter& cutter, const HoleIndex& index, std::size_t own, Boundary& out) {
    const std::vector<Point>& centres = cutter.holes.centres;
    const Point c = centres[own];
    std::vector<Piece> pieces;
    for (const Edge& at_origin : cutter.figure) pieces.emplace_back(shifted(at_origin, c));
    const auto covered = [](const Piece& piece) { return piece.free.empty(); };
    for (int ring = 0; !pieces.empty() && (ring - 1) * index.width() < 2.0 * cutter.reach; ++ring) {
        std::size_t asked = 0;
        const bool inside = index.ring(c, ring, [&](std::size_t other) {
            if (other == own) return;
            ++asked;
            for (Piece& piece : pieces)
                if (!covered(piece)) cutter.cut(piece, centres[other]);
        });
        cutter.spend(asked * pieces.size());
        pieces.erase(std::remove_if(pieces.begin(), pieces.end(), covered), pieces.end());
        if (!inside) break;
    }
    for (const Piece& piece : pieces) {
        const Edge& e = piece.edge;
        const double length = std::hypot(e.b.x - e.a.x, e.b.y - e.a.y);
        for (const auto& [from, to] : piece.free)
            if ((to - from) * length > shortest * cutter.reach)
                out.push_back({piece.at(from), piece.at(to), e.centre, e.radius, true, 0});
    }
}

Boundary uncovered_pieces(const Cutter& cutter, const HoleIndex& index, std::size_t from, std::size_t to) {
    Boundary pieces;
    for (std::size_t k = from; k < to; ++k) uncovered(cutter, index, k, pieces);
    return pieces;
}

/// Side of the square that each hole has to itself in the box of all.
double mean_spacing(const std::vector<Point>& centres, double reach) {
    const auto [low, high] = bounding_box(centres);
    return std::sqrt((high.x - low.x + reach) * (high.y - low.y + reach) / static_cast<double>(centres.size()));
}

/// Work on 0..count in as many parts as there are cores, the results in order whatever the number of parts.
template <class Work>
Boundary in_parts(std::size_t count, Work work) {
    constexpr std::size_t worth_a_thread = 2000;
    const std::size_t cores = std::max(1U, std::thread::hardware_concurrency());
    const std::size_t parts = std::clamp<std::size_t>(count / worth_a_thread, 1, cores);
    std::vector<std::future<Boundary>> running;
    for (std::size_t part = 1; part < parts; ++part)
        running.push_back(std::async(std::launch::async, work, count * part / parts, count * (part + 1) / parts));
    Boundary all = work(0, count / parts);
    for (auto& part : running) {
        const Boundary more = part.get();
        all.insert(all.end(), more.begin(), more.end());
    }
    return all;
}

/// Numbers the loops by falling area, outer rims first.
void number_loops(Boundary& rim) {
    std::vector<Loop> found = loops(rim);
    std::stable_sort(found.begin(), found.end(), [](const Loop& a, const Loop& b) {
        if ((a.area > 0.0) != (b.area > 0.0)) return a.area > 0.0;
        return std::abs(a.area) > std::abs(b.area);
    });
    std::vector<int> number(found.size());
    for (std::size_t k = 0; k < found.size(); ++k)
        number[static_cast<std::size_t>(found[k].number)] = static_cast<int>(k);
    for (Edge& e : rim) e.loop = number[static_cast<std::size_t>(e.loop)];
    std::stable_sort(rim.begin(), rim.end(), [](const Edge& a, const Edge& b) { return a.loop < b.loop; });
}

}  // namespace

PlacedHoles placed(const HolePattern& pattern, const std::vector<Hole>& holes) {
    PlacedHoles out{pattern.shape, pattern.size.si(), pattern.angle_rad, {}};
    for (const Hole& hole : holes) out.centres.push_back(hole.centre);
    return out;
}

double distance_to_hole(const PlacedHoles& holes, Point centre, Point p) {
    const double half = 0.5 * holes.size;
    const Point off{p.x - centre.x, p.y - centre.y};
    if (holes.shape == HoleShape::circle) return std::max(0.0, std::hypot(off.x, off.y) - half);
    const Point q = turned(off, -holes.angle_rad);
    if (holes.shape == HoleShape::square)
        return std::hypot(std::max(0.0, std::abs(q.x) - half), std::max(0.0, std::abs(q.y) - half));
    // A hexagon: folded into the twelfth between the flat at the top and the corner on its right.
    const double x = std::abs(q.x), y = std::abs(q.y);
    const double along = 0.5 * std::sqrt(3.0) * x + 0.5 * y;  // across the slanted flat
    const Point f = y >= along ? Point{x, y} : Point{std::abs(0.5 * x - 0.5 * std::sqrt(3.0) * y), along};
    return std::hypot(std::max(0.0, f.x - half / std::sqrt(3.0)), std::max(0.0, f.y - half));
}

Boundary front(const PlacedHoles& holes, double undercut) {
    const Boundary figure = grown(holes, undercut);
    double reach = holes.shape == HoleShape::circle ? 0.5 * holes.size : 0.0;
    for (const Point& p : turned_figure(holes)) reach = std::max(reach, std::hypot(p.x, p.y));
    reach += undercut;
    std::atomic<std::size_t> comparisons = 0;
    const Cutter cutter{holes, undercut, reach, figure, comparisons};
    const HoleIndex index(holes.centres, std::min(2.0 * reach, mean_spacing(holes.centres, reach)));
    Boundary rim =
        stitched(in_parts(holes.centres.size(),
                          [&](std::size_t from, std::size_t to) { return uncovered_pieces(cutter, index, from, to); }),
                 meeting * reach);
    number_loops(rim);
    return rim;
}

std::vector<Loop> loops(const Boundary& rim) {
    std::vector<Loop> out;
    for (auto first = rim.begin(); first != rim.end();) {
        const auto last = std::find_if(first, rim.end(), [&](const Edge& e) { return e.loop != first->loop; });
        const Boundary part(first, last);
        const Box box = bounding_box(part);
        out.push_back({first->loop, area(part), {0.5 * (box.low.x + box.high.x), 0.5 * (box.low.y + box.high.y)}});
        first = last;
    }
    return out;
}

}  // namespace tymbal

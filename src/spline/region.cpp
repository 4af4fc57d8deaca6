#include "region.h"

#include "tymbal/base/constants.h"
#include "tymbal/base/error.h"
#include "tymbal/geometry/boundary.h"

#include <polyclipping/clipper.hpp>

#include <algorithm>
#include <cmath>
#include <functional>
#include <map>
#include <utility>

namespace tymbal::spline {

namespace {

namespace clip = ClipperLib;

constexpr double sagitta = 3e-4;  // that an arc leaves its chord by, as a share of the length the caller names

/// Whole numbers that polygons are cut in: some 1e-12 of the outline's box.
class Raster {
public:
    explicit Raster(const Box& box)
        : origin_{0.5 * (box.low.x + box.high.x), 0.5 * (box.low.y + box.high.y)},
          unit_(std::max(box.high.x - box.low.x, box.high.y - box.low.y) * 0x1p-40) {}
    [[nodiscard]] clip::IntPoint to(Point p) const {
        return {std::llround((p.x - origin_.x) / unit_), std::llround((p.y - origin_.y) / unit_)};
    }
    [[nodiscard]] Point from(const clip::IntPoint& p) const {
        return {origin_.x + static_cast<double>(p.X) * unit_, origin_.y + static_cast<double>(p.Y) * unit_};
    }
    [[nodiscard]] double unit() const { return unit_; }

private:
    Point origin_;
    double unit_;
};

bool same_circle(const Edge& a, const Edge& b) {
    const double small = 1e-9 * a.radius;
    return a.radius > 0.0 && std::abs(a.radius - b.radius) <= small && std::abs(a.centre.x - b.centre.x) <= small &&
           std::abs(a.centre.y - b.centre.y) <= small;
}

/// Chords of one closed loop of edges. Points between chords of one arc lie outside it by so much that the chords
/// enclose the arc's area.
std::vector<Point> chords(const std::vector<Edge>& loop, double chord) {
    std::vector<Point> points;
    for (std::size_t k = 0; k < loop.size(); ++k) {
        const Edge& e = loop[k];
        if (e.radius == 0.0) {
            points.push_back(e.a);
            continue;
        }
        const double from = std::atan2(e.a.y - e.centre.y, e.a.x - e.centre.x);
        double turn = std::atan2(e.b.y - e.centre.y, e.b.x - e.centre.x) - from;
        turn -= 2.0 * constants::pi * std::round(turn / (2.0 * constants::pi));
        const double step = std::clamp(std::sqrt(8.0 * sagitta * chord / e.radius), 1e-3, 0.3);
        const int count = std::max(1, static_cast<int>(std::ceil(std::abs(turn) / step)));
        const double each = std::abs(turn) / count;
        const double radius = e.radius * std::sqrt(each / std::sin(each));
        const bool joined = same_circle(e, loop[(k + loop.size() - 1) % loop.size()]);
        if (!joined) points.push_back(e.a);
        for (int i = joined ? 0 : 1; i < count; ++i) {
            const double angle = from + turn * i / count;
            points.push_back({e.centre.x + radius * std::cos(angle), e.centre.y + radius * std::sin(angle)});
        }
    }
    return points;
}

std::vector<std::vector<Point>> loops_of(const Boundary& rim, double chord) {
    std::map<int, std::vector<Edge>> by_number;
    for (const Edge& e : rim) by_number[e.loop].push_back(e);
    std::vector<std::vector<Point>> loops;
    for (const auto& [number, edges] : by_number) loops.push_back(chords(edges, chord));
    return loops;
}

clip::Path path_of(const std::vector<Point>& points, const Raster& raster) {
    clip::Path path;
    path.reserve(points.size());
    for (const Point& p : points) path.push_back(raster.to(p));
    return path;
}

/// Finds out whether a chord lies on the outline.
class HeldLines {
public:
    HeldLines(const std::vector<std::vector<Point>>& loops, const Box& box, double near, HeldSides held)
        : low_(box.low), near_(near), side_(std::max(box.high.x - box.low.x, box.high.y - box.low.y) / bins) {
        for (const auto& loop : loops)
            for (std::size_t k = 0; k < loop.size(); ++k) {
                const Point a = loop[k], b = loop[(k + 1) % loop.size()];
                const bool along = std::abs(a.y - b.y) <= near && std::abs(a.x - b.x) > near;
                if (held == HeldSides::all || !along) enter(a, b);
            }
    }
    [[nodiscard]] bool has(Point p) const {
        const auto found = lines_.find(bin(p));
        if (found == lines_.end()) return false;
        return std::any_of(found->second.begin(), found->second.end(),
                           [&](const auto& line) { return distance(line[0], line[1], p) <= near_; });
    }

private:
    static constexpr int bins = 512;
    using Bin = std::pair<int, int>;
    [[nodiscard]] Bin bin(Point p) const {
        return {static_cast<int>(std::floor((p.x - low_.x) / side_)),
                static_cast<int>(std::floor((p.y - low_.y) / side_))};
    }
    static double distance(Point a, Point b, Point p) {
        const double dx = b.x - a.x, dy = b.y - a.y, square = dx * dx + dy * dy;
        const double t = square > 0.0 ? std::clamp(((p.x - a.x) * dx + (p.y - a.y) * dy) / square, 0.0, 1.0) : 0.0;
        return std::hypot(p.x - a.x - t * dx, p.y - a.y - t * dy);
    }
    /// Into every bin that the line, widened by `near`, may touch.
    void enter(Point a, Point b) {
        const int steps = 1 + static_cast<int>(std::hypot(b.x - a.x, b.y - a.y) / (0.5 * side_));
        for (int i = 0; i <= steps; ++i) {
            const double t = static_cast<double>(i) / steps;
            const Bin at = bin({a.x + t * (b.x - a.x), a.y + t * (b.y - a.y)});
            for (int dx = -1; dx <= 1; ++dx)
                for (int dy = -1; dy <= 1; ++dy) {
                    auto& lines = lines_[{at.first + dx, at.second + dy}];
                    const std::array<Point, 2> line{a, b};
                    if (lines.empty() || lines.back()[0].x != a.x || lines.back()[0].y != a.y ||
                        lines.back()[1].x != b.x || lines.back()[1].y != b.y)
                        lines.push_back(line);
                }
        }
    }
    Point low_;
    double near_, side_;
    std::map<Bin, std::vector<std::array<Point, 2>>> lines_;
};

Curve curve_of(const clip::Path& path, const Raster& raster, const HeldLines& held) {
    Curve curve;
    for (const clip::IntPoint& p : path) curve.points.push_back(raster.from(p));
    for (std::size_t k = 0; k < path.size(); ++k) {
        const Point a = curve.points[k], b = curve.points[(k + 1) % path.size()];
        curve.held.push_back(held.has({0.5 * (a.x + b.x), 0.5 * (a.y + b.y)}));
    }
    return curve;
}

bool hangs(const Curve& curve) {
    return std::find(curve.held.begin(), curve.held.end(), true) != curve.held.end();
}

/// One connected piece of film: its outer curve and the holes in it.
void enter(const clip::PolyNode& node, const Raster& raster, const HeldLines& held, Region& out) {
    std::vector<Curve> curves{curve_of(node.Contour, raster, held)};
    double area = clip::Area(node.Contour);
    bool hung = hangs(curves.front());
    for (const clip::PolyNode* hole : node.Childs) {
        curves.push_back(curve_of(hole->Contour, raster, held));
        area += clip::Area(hole->Contour);
        hung = hung || hangs(curves.back());
        for (const clip::PolyNode* inner : hole->Childs) enter(*inner, raster, held, out);
    }
    area *= raster.unit() * raster.unit();
    if (!hung) {
        out.loose.push_back({curves.front().points.front(), area});
        return;
    }
    out.area += area;
    std::move(curves.begin(), curves.end(), std::back_inserter(out.curves));
}

}  // namespace

Region film_region(const Boundary& rim, const std::vector<Figure>& openings, double chord, HeldSides held) {
    Region out;
    out.box = bounding_box(rim);
    const Raster raster(out.box);
    const std::vector<std::vector<Point>> outline = loops_of(rim, chord);
    clip::Clipper clipper;
    for (const auto& loop : outline) clipper.AddPath(path_of(loop, raster), clip::ptSubject, true);
    for (const Figure& figure : openings) clipper.AddPath(path_of(chords(figure, chord), raster), clip::ptClip, true);
    clip::PolyTree tree;
    clipper.Execute(clip::ctDifference, tree, clip::pftEvenOdd, clip::pftNonZero);
    const HeldLines lines(outline, out.box, 4.0 * raster.unit(), held);
    for (const clip::PolyNode* node : tree.Childs) enter(*node, raster, lines, out);
    if (out.curves.empty())
        throw NoAnswer(
            "no film is left that hangs on the outline: the openings cut all of it off; make them smaller or move "
            "them");
    return out;
}

bool has_cut_rim(const Region& region) {
    return std::any_of(region.curves.begin(), region.curves.end(), [](const Curve& c) {
        return std::adjacent_find(c.held.begin(), c.held.end(), std::not_equal_to<>()) != c.held.end();
    });
}

namespace {

/// Calls visit(k, turn) for each corner of a curve: left turns are positive.
template <class Visit>
void for_each_corner(const Curve& c, Visit visit) {
    const std::size_t n = c.points.size();
    for (std::size_t k = 0; k < n; ++k) {
        const Point &a = c.points[(k + n - 1) % n], &b = c.points[k], &d = c.points[(k + 1) % n];
        visit(k, std::atan2((b.x - a.x) * (d.y - b.y) - (b.y - a.y) * (d.x - b.x),
                            (b.x - a.x) * (d.x - b.x) + (b.y - a.y) * (d.y - b.y)));
    }
}

constexpr double sharp = -0.3;  // turns into the film; chords of arcs turn by less

}  // namespace

bool has_sharp_corners(const Region& region) {
    bool found = has_cut_rim(region);
    for (const Curve& c : region.curves)
        for_each_corner(c, [&](std::size_t, double turn) { found = found || turn < sharp; });
    return found;
}

std::vector<Point> stress_corners(const Region& region) {
    std::vector<Point> out;
    for (const Curve& c : region.curves)
        for_each_corner(c, [&](std::size_t k, double turn) {
            const bool before = c.held[(k + c.held.size() - 1) % c.held.size()], after = c.held[k];
            if (before != after || (!after && turn < sharp)) out.push_back(c.points[k]);
        });
    return out;
}

}  // namespace tymbal::spline

#include "tymbal/geometry/openings.h"

#include "tymbal/base/constants.h"

#include <algorithm>
#include <cmath>
#include <limits>
#include <numeric>
#include <utility>

namespace tymbal {

namespace {

using constants::pi;

Point on_circle(Point centre, double radius, double angle) {
    return {centre.x + radius * std::cos(angle), centre.y + radius * std::sin(angle)};
}

/// Arc counter-clockwise over from..to, split at the quarter turns; begins and ends at the given points exactly.
void add_arc(Figure& figure, Point centre, double radius, std::array<double, 2> angles, std::array<Point, 2> ends) {
    Point last = ends[0];
    for (double next = 0.5 * pi * (std::floor(angles[0] / (0.5 * pi) + 1e-9) + 1.0); next < angles[1] - 1e-9;
         next += 0.5 * pi) {
        const Point p = on_circle(centre, radius, next);
        figure.push_back({last, p, centre, radius, true, 0});
        last = p;
    }
    figure.push_back({last, ends[1], centre, radius, true, 0});
}

double swept(const Edge& e) {
    const double ax = e.a.x - e.centre.x, ay = e.a.y - e.centre.y;
    const double bx = e.b.x - e.centre.x, by = e.b.y - e.centre.y;
    return std::atan2(ax * by - ay * bx, ax * bx + ay * by);
}

}  // namespace

Figure circle_figure(Point centre, double diameter) {
    const double radius = 0.5 * diameter;
    const Point right{centre.x + radius, centre.y};
    Figure figure;
    add_arc(figure, centre, radius, {0.0, 2.0 * pi}, {right, right});
    return figure;
}

Figure polygon_figure(const std::vector<Point>& vertices) {
    Figure figure;
    for (std::size_t k = 0; k < vertices.size(); ++k)
        figure.push_back({vertices[k], vertices[(k + 1) % vertices.size()], {}, 0.0, true, 0});
    return figure;
}

Figure rectangle_figure(Point centre, std::array<double, 2> sides, double corner_radius, double angle_rad) {
    const double c = std::cos(angle_rad), s = std::sin(angle_rad);
    const auto place = [&](double x, double y) { return Point{centre.x + c * x - s * y, centre.y + s * x + c * y}; };
    const double w = 0.5 * sides[0], h = 0.5 * sides[1], r = corner_radius;
    if (r == 0.0) return polygon_figure({place(-w, -h), place(w, -h), place(w, h), place(-w, h)});
    Figure figure;
    const std::array<Point, 4> corner{{{w - r, h - r}, {-w + r, h - r}, {-w + r, -h + r}, {w - r, -h + r}}};
    const std::array<Point, 5> normal{{{1, 0}, {0, 1}, {-1, 0}, {0, -1}, {1, 0}}};
    Point last = place(w, -h + r);
    const Point first = last;
    for (std::size_t q = 0; q < 4; ++q) {
        const Point from = place(corner[q].x + r * normal[q].x, corner[q].y + r * normal[q].y);
        const Point to =
            q == 3 && h == r ? first : place(corner[q].x + r * normal[q + 1].x, corner[q].y + r * normal[q + 1].y);
        if (std::hypot(from.x - last.x, from.y - last.y) > 0.0) figure.push_back({last, from, {}, 0.0, true, 0});
        const double start = angle_rad + 0.5 * pi * static_cast<double>(q);
        add_arc(figure, place(corner[q].x, corner[q].y), r, {start, start + 0.5 * pi}, {from, to});
        last = to;
    }
    if (std::hypot(first.x - last.x, first.y - last.y) > 0.0) figure.push_back({last, first, {}, 0.0, true, 0});
    return figure;
}

std::vector<Figure> figures(const PlacedHoles& holes) {
    std::vector<Figure> all;
    all.reserve(holes.centres.size());
    const double c = std::cos(holes.angle_rad), s = std::sin(holes.angle_rad);
    const std::vector<Point> shape = figure(holes.shape, holes.size);
    for (const Point& centre : holes.centres) {
        if (shape.empty()) {
            all.push_back(circle_figure(centre, holes.size));
            continue;
        }
        std::vector<Point> corners;
        for (const Point& p : shape) corners.push_back({centre.x + c * p.x - s * p.y, centre.y + s * p.x + c * p.y});
        all.push_back(polygon_figure(corners));
    }
    return all;
}

double narrowest_film(const std::vector<Figure>& figures, const Boundary& rim) {
    constexpr int points_per_edge = 8;
    double least = std::numeric_limits<double>::infinity();
    std::vector<std::pair<Box, std::vector<Point>>> outline;
    for (const Figure& f : figures) {
        std::vector<Point> points;
        for (const Edge& e : f)
            for (int k = 0; k < points_per_edge; ++k) points.push_back(point_on(e, 1.0 * k / points_per_edge));
        double to_rim = std::numeric_limits<double>::infinity();
        for (const Point& p : points) to_rim = std::min(to_rim, signed_distance(rim, p));
        if (to_rim > 0.0) least = std::min(least, to_rim);  // one that crosses the rim leaves no film between
        outline.emplace_back(bounding_box(f), std::move(points));
    }
    std::vector<std::size_t> order(figures.size());
    std::iota(order.begin(), order.end(), std::size_t{0});
    std::stable_sort(order.begin(), order.end(),
                     [&](std::size_t a, std::size_t b) { return outline[a].first.low.x < outline[b].first.low.x; });
    for (std::size_t k = 0; k < order.size(); ++k) {
        const auto& [box, points] = outline[order[k]];
        for (std::size_t m = k + 1; m < order.size(); ++m) {
            const Box& other = outline[order[m]].first;
            if (other.low.x > box.high.x + least) break;
            if (other.low.y > box.high.y + least || box.low.y > other.high.y + least) continue;
            double gap = std::numeric_limits<double>::infinity();
            for (const Point& p : points) gap = std::min(gap, -signed_distance(figures[order[m]], p));
            for (const Point& p : outline[order[m]].second) gap = std::min(gap, -signed_distance(figures[order[k]], p));
            if (gap > 0.0) least = std::min(least, gap);
        }
    }
    return least;
}

Point point_on(const Edge& e, double t) {
    if (t <= 0.0) return e.a;
    if (t >= 1.0) return e.b;
    if (e.radius == 0.0) return {e.a.x + t * (e.b.x - e.a.x), e.a.y + t * (e.b.y - e.a.y)};
    const double from = std::atan2(e.a.y - e.centre.y, e.a.x - e.centre.x);
    return on_circle(e.centre, e.radius, from + t * swept(e));
}

double length(const Edge& e) {
    return e.radius > 0.0 ? e.radius * std::abs(swept(e)) : std::hypot(e.b.x - e.a.x, e.b.y - e.a.y);
}

}  // namespace tymbal

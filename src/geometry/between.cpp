#include "tymbal/geometry/between.h"

#include "tymbal/geometry/boundary.h"

#include <algorithm>
#include <cmath>
#include <limits>

namespace tymbal {

namespace {

constexpr int points_per_edge = 8;

Point moved(Point p, Point by) {
    return {p.x + by.x, p.y + by.y};
}

Point along(const Edge& e, double share) {
    if (e.radius == 0.0) return {e.a.x + share * (e.b.x - e.a.x), e.a.y + share * (e.b.y - e.a.y)};
    const double from = std::atan2(e.a.y - e.centre.y, e.a.x - e.centre.x);
    const double to = std::atan2(e.b.y - e.centre.y, e.b.x - e.centre.x);
    const double angle = from + share * std::remainder(to - from, 2.0 * std::acos(-1.0));
    return {e.centre.x + e.radius * std::cos(angle), e.centre.y + e.radius * std::sin(angle)};
}

double gap(double low_a, double high_a, double low_b, double high_b) {
    return std::max({0.0, low_b - high_a, low_a - high_b});
}

double distance(const Box& box, Point p) {
    return std::hypot(gap(box.low.x, box.high.x, p.x, p.x), gap(box.low.y, box.high.y, p.y, p.y));
}

/// Least distance of points of `a` from the film of `b`, where it is below `least`.
double nearest_point(const PlacedRim& a, const PlacedRim& b, double least) {
    const Box box = bounding_box(b.rim);
    const Point shift{a.at.x - b.at.x, a.at.y - b.at.y};
    for (const Edge& e : a.rim)
        for (int k = 0; k < points_per_edge; ++k) {
            const Point p = moved(along(e, static_cast<double>(k) / points_per_edge), shift);
            if (distance(box, p) < std::max(least, 1e-300)) least = std::min(least, -signed_distance(b.rim, p));
        }
    return least;
}

}  // namespace

double distance_between(const PlacedRim& a, const PlacedRim& b, double enough) {
    const Box one = bounding_box(a.rim), other = bounding_box(b.rim);
    const Point shift{a.at.x - b.at.x, a.at.y - b.at.y};
    const double boxes = std::hypot(gap(one.low.x + shift.x, one.high.x + shift.x, other.low.x, other.high.x),
                                    gap(one.low.y + shift.y, one.high.y + shift.y, other.low.y, other.high.y));
    if (boxes > enough) return boxes;
    const double least = nearest_point(a, b, std::numeric_limits<double>::infinity());
    return nearest_point(b, a, least);
}

}  // namespace tymbal

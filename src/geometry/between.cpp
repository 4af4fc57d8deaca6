#include "tymbal/geometry/between.h"

#include "edge_distance.h"

#include "tymbal/geometry/boundary.h"

#include <algorithm>
#include <cmath>

namespace tymbal {

namespace {

Point moved(Point p, Point by) {
    return {p.x + by.x, p.y + by.y};
}

Edge moved(Edge e, Point by) {
    e.a = moved(e.a, by);
    e.b = moved(e.b, by);
    e.centre = moved(e.centre, by);
    return e;
}

double gap(double low_a, double high_a, double low_b, double high_b) {
    return std::max({0.0, low_b - high_a, low_a - high_b});
}

double distance(const Box& a, const Box& b) {
    return std::hypot(gap(a.low.x, a.high.x, b.low.x, b.high.x), gap(a.low.y, a.high.y, b.low.y, b.high.y));
}

/// Edges are monotone in x and in y: their ends span their box.
Box box_of(const Edge& e) {
    return {{std::min(e.a.x, e.b.x), std::min(e.a.y, e.b.y)}, {std::max(e.a.x, e.b.x), std::max(e.a.y, e.b.y)}};
}

/// Distance of two ends of edges that are likely near each other: no more than that is to be looked for.
double first_guess(const Boundary& a, const Boundary& b, const Box& b_box) {
    const auto nearer = [](const Box& box) {
        return [&box](const Edge& e, const Edge& f) {
            return distance(box, Box{e.a, e.a}) < distance(box, Box{f.a, f.a});
        };
    };
    const Point from = std::min_element(a.begin(), a.end(), nearer(b_box))->a;
    const Point to = std::min_element(b.begin(), b.end(), nearer(Box{from, from}))->a;
    return std::hypot(to.x - from.x, to.y - from.y);
}

/// @param least  what is farther need not be known
double rims_apart(const Boundary& a, const Boundary& b, const Box& b_box, double least) {
    std::vector<Box> boxes;
    for (const Edge& f : b) boxes.push_back(box_of(f));
    for (const Edge& e : a) {
        const Box box = box_of(e);
        if (distance(box, b_box) >= least) continue;
        for (std::size_t k = 0; k < b.size(); ++k)
            if (distance(box, boxes[k]) < least) least = std::min(least, distance(e, b[k]));
    }
    return least;
}

}  // namespace

double distance_between(const PlacedRim& a, const PlacedRim& b, double enough) {
    const Point shift{a.at.x - b.at.x, a.at.y - b.at.y};
    const Box own = bounding_box(a.rim), other_box = bounding_box(b.rim);
    const double boxes = distance({moved(own.low, shift), moved(own.high, shift)}, other_box);
    if (boxes > enough) return boxes;
    Boundary one = a.rim;
    for (Edge& e : one) e = moved(e, shift);
    const double apart = rims_apart(one, b.rim, other_box, first_guess(one, b.rim, other_box));
    // Rims that do not meet lie outside each other, or one whole within the other's film.
    const bool within = apart > 0.0 && boxes <= 0.0 &&
                        (signed_distance(b.rim, one.front().a) > 0.0 || signed_distance(one, b.rim.front().a) > 0.0);
    return within ? -apart : apart;
}

}  // namespace tymbal

#include "convergence.h"

#include "tymbal/base/constants.h"

#include <algorithm>
#include <cmath>

namespace tymbal {

namespace {

using constants::pi;
constexpr double scatter = 0.005;  // measured on discs and rings, tests/bench/bench_sweep.cpp
// The edge of a hole field cuts the cells of each grid elsewhere, so that a second power would only follow the scatter.
// With these two, 183 of 192 modes of 48 random fields lie within the errors from three grids and 185 within those from
// five, against grids three times as fine; tests/bench/bench_choose.cpp, third argument.
constexpr double field_edge = 0.05, field_scatter = 6.0;
constexpr double mixed_corner = 0.25;
constexpr double ragged = 0.5;      // of the correction: the grids see the rounded corners between fronts only in part
constexpr double open_doubt = 0.5;  // of the correction; held against exact and fine solutions in tests/modes
constexpr double corner_safety = 2.0;
// Of the layer's effect, where fronts meet in corners: thin layer against the full problem on a small field,
// tests/task.
constexpr double front_corner_share = 0.1;

double plate_exponent(double angle) {
    double low = 0.5, high = 1.0;  // the left side is the smaller one at 1/2 and beyond that meets the right once
    for (int step = 0; step < 50; ++step) {
        const double z = 0.5 * (low + high);
        (std::sin(z * angle) > -z * std::sin(angle) ? low : high) = z;
    }
    return 2.0 * low;
}

/// Unit tangent of an edge at its beginning or end.
Point tangent(const Edge& e, bool at_end) {
    const Point p = at_end ? e.b : e.a;
    if (e.radius > 0.0) return {-(p.y - e.centre.y) / e.radius, (p.x - e.centre.x) / e.radius};
    const double length = std::hypot(e.b.x - e.a.x, e.b.y - e.a.y);
    return {(e.b.x - e.a.x) / length, (e.b.y - e.a.y) / length};
}

}  // namespace

std::vector<RimCorner> corners(const Boundary& rim) {
    std::vector<RimCorner> all;
    for (std::size_t k = 0; k < rim.size(); ++k) {
        std::size_t next = k + 1;
        if (next == rim.size() || rim[next].loop != rim[k].loop)
            for (next = k; next > 0 && rim[next - 1].loop == rim[k].loop;) --next;
        const Point u = tangent(rim[k], true), v = tangent(rim[next], false);
        all.push_back({rim[k].b, pi - std::atan2(u.x * v.y - u.y * v.x, u.x * v.x + u.y * v.y)});
    }
    return all;
}

double widest_angle(const Outline& outline) {
    double widest = pi;
    if (std::holds_alternative<Released>(outline) || std::holds_alternative<Polygon>(outline))
        for (const RimCorner& corner : corners(boundary(outline))) widest = std::max(widest, corner.angle);
    return widest;
}

Convergence convergence(const Outline& outline, const PaintedFilm& film, RimTreatment rim) {
    // Free edges cut the cells at random: their scatter is as large as the leading term's share.
    if (!film.openings.empty()) return {{2.0, 0.0, open_doubt}, 3};
    const Rectangle* rectangle = std::get_if<Rectangle>(&outline);
    const bool straight = rectangle != nullptr && rectangle->corner_radius.si() == 0.0;
    if (straight && !film.cell && film.patches.empty()) return {{2.0, 4.0, 0.0}, 3};
    if (straight) return {{2.0, 0.0, field_edge, field_scatter}, 3};
    const bool rounded = std::holds_alternative<Released>(outline) && rim == RimTreatment::thin_layer;
    if (rounded) return {{2.0, 0.0, ragged}, 5};
    const double angle = widest_angle(outline);
    if (angle < 1.001 * pi) return {{2.0, 3.0, scatter}, 5};
    if (rim == RimTreatment::thin_layer) return {{2.0 * pi / angle, 2.0, scatter}, 5};
    // Inside the layer the corner is a plate's, outside a membrane's, and the grid sees a mixture of both exponents.
    return {{plate_exponent(angle), 2.0, mixed_corner}, 5};
}

double corner_error(const Outline& outline, const Extrapolated& limit, const CornerLayer& layer) {
    if (std::holds_alternative<Released>(outline)) return front_corner_share * layer.effect;
    const double angle = widest_angle(outline);
    if (angle < 1.001 * pi) return 0.0;
    return corner_safety * std::abs(limit.leading) * std::pow(layer.thickness / layer.spacing, 2.0 * pi / angle);
}

}  // namespace tymbal

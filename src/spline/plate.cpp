#include "plate.h"

#include <algorithm>
#include <cmath>
#include <vector>

namespace tymbal::spline {

namespace {

LocalMatrix bending_of(const Frame& f, double poisson, const Weights& weights) {
    const CellBasis& b = cell_basis();
    const Weights w = weights * (f.hx * f.hy);
    const AtPoints xx = b.xx / (f.hx * f.hx), yy = b.yy / (f.hy * f.hy), xy = b.xy / (f.hx * f.hy);
    const AtPoints sum = xx + yy;
    const LocalMatrix mixed = xx.transpose() * w.asDiagonal() * yy;
    return sum.transpose() * w.asDiagonal() * sum -
           (1.0 - poisson) * (mixed + mixed.transpose() - 2.0 * xy.transpose() * w.asDiagonal() * xy);
}

LocalMatrix tension_of(const Frame& f, const PointTension& n, const Weights& weights) {
    const CellBasis& b = cell_basis();
    const Weights w = weights * (f.hx * f.hy);
    const AtPoints x = b.x / f.hx, y = b.y / f.hy;
    const LocalMatrix mixed = x.transpose() * w.cwiseProduct(n.col(2)).asDiagonal() * y;
    return x.transpose() * w.cwiseProduct(n.col(0)).asDiagonal() * x +
           y.transpose() * w.cwiseProduct(n.col(1)).asDiagonal() * y + mixed + mixed.transpose();
}

LocalMatrix mass_of(const Frame& f, const Weights& weights) {
    const AtPoints& b = cell_basis().w;
    return b.transpose() * (weights * (f.hx * f.hy)).asDiagonal() * b;
}

struct PartForms {
    LocalMatrix bending, tension, mass;
};

PartForms forms_of(const Frame& f, const Sheet& s, const PointTension& tension, const Weights& weights) {
    return {s.bending * bending_of(f, s.poisson, weights), tension_of(f, tension, weights),
            s.mass * mass_of(f, weights)};
}

/// Least tension that the spring's table and the penalty count with, as a share of the deposited one.
constexpr double least_tension = 1e-9;

/// What a rim point adds to its part's stiffness, and D d/dD of that.
struct RimTerms {
    LocalMatrix stiffness = LocalMatrix::Zero(), bending = LocalMatrix::Zero();
};

void add_point(const Cells& cells, const Space& space, const Plane& plane, const RimPoint& r, RimTerms& out) {
    const double d = plane.sheet.bending;
    const double spacing = std::sqrt(cells.frame.hx * cells.frame.hy);
    const LocalBasis b = local_basis(cells.frame, r.at);
    const Tension n = plane.at(cells, space, r.part, r.at);
    const Local slope = r.normal.x * b.x + r.normal.y * b.y;
    const Point pull{n.xx * r.normal.x + n.xy * r.normal.y, n.xy * r.normal.x + n.yy * r.normal.y};
    const double normal =
        std::max(pull.x * r.normal.x + pull.y * r.normal.y, least_tension * std::abs(plane.sheet.tension) + 1e-30);
    const double ratio = std::sqrt(d / normal) / r.spacing;
    const RimSpring k =
        d > 0.0 && !r.at_cusp ? (r.on_line ? spring_on_line(ratio) : spring_in_cell(ratio)) : RimSpring{};
    const LocalMatrix turn = slope * slope.transpose() * (r.weight * d / r.spacing);
    out.stiffness += k.value * turn;
    out.bending += (k.value + 0.5 * k.slope) * turn;
    if (r.on_line) return;
    const Local force = pull.x * b.x + pull.y * b.y;
    const LocalMatrix work = b.w * force.transpose(), hold = b.w * b.w.transpose();
    const double stiff = hold_bending * d / std::pow(spacing, 3);
    out.stiffness += r.weight * ((hold_tension * normal / spacing + stiff) * hold - work - work.transpose());
    out.bending += r.weight * stiff * hold;
}

void add_rim(const Cells& cells, const Space& space, const Plane& plane, Sum& stiffness, Sum& bending) {
    const std::vector<RimPoint> points = rim_points(cells);
    for_each_part(points, [&](std::size_t first, std::size_t last) {
        RimTerms sum;
        for (std::size_t k = first; k < last; ++k) add_point(cells, space, plane, points[k], sum);
        stiffness.add(points[first].part, sum.stiffness);
        bending.add(points[first].part, sum.bending);
    });
}

/// Parts whose cell's middle lies within `reach` of a point of the held rim.
std::vector<std::size_t> parts_near(const Cells& cells, const std::vector<RimPoint>& rim, double reach) {
    std::vector<std::size_t> out;
    if (std::min(cells.frame.hx, cells.frame.hy) > 2.0 * reach) return out;
    std::vector<Point> places;
    places.reserve(rim.size());
    for (const RimPoint& r : rim) places.push_back(cells.place(cells.parts[r.part], r.at.x, r.at.y));
    const auto left_of = [](const Point& a, const Point& b) { return a.x < b.x; };
    std::sort(places.begin(), places.end(), left_of);
    for (std::size_t p = 0; p < cells.parts.size(); ++p) {
        const Point middle = cells.place(cells.parts[p], 0.5, 0.5);
        const auto first = std::lower_bound(places.begin(), places.end(), Point{middle.x - reach, 0.0}, left_of);
        const auto last = std::upper_bound(first, places.end(), Point{middle.x + reach, 0.0}, left_of);
        const auto near = [&](Point at) { return std::hypot(at.x - middle.x, at.y - middle.y) <= reach; };
        if (std::any_of(first, last, near)) out.push_back(p);
    }
    return out;
}

}  // namespace

SparseMatrix rim_bending(const Cells& cells, const Space& space, const Plane& plane, double reach) {
    const Sheet& s = plane.sheet;
    const auto pattern = std::make_shared<const Pattern>(pattern_of(cells, space));
    Sum unused(space, pattern), bending(space, pattern);
    add_rim(cells, space, plane, unused, bending);
    for (const std::size_t p : parts_near(cells, rim_points(cells), reach))
        bending.add(p, s.bending * bending_of(cells.frame, s.poisson, cells.weights_of(cells.parts[p])));
    return bending.take().lower();
}

PlateRows plate_rows(const Cells& cells, const Space& space, const Plane& plane,
                     const std::shared_ptr<const Pattern>& pattern, unsigned threads) {
    const Sheet& s = plane.sheet;
    Sum stiffness(space, pattern), bending(space, pattern), mass(space, pattern);
    const PartForms whole = forms_of(cells.frame, s, Plane{s, {}}.at_points(cells, space, 0), whole_cell());
    const auto forms = [&](std::size_t p) {
        PartForms out = whole;
        if (cells.parts[p].cut >= 0)
            return forms_of(cells.frame, s, plane.at_points(cells, space, p), cells.weights_of(cells.parts[p]));
        if (plane.displacement.size() > 0)
            out.tension = tension_of(cells.frame, plane.at_points(cells, space, p), whole_cell());
        return out;
    };
    for_each_local<PartForms>(cells.parts.size(), threads, forms, [&](std::size_t p, const PartForms& f) {
        bending.add(p, f.bending);
        stiffness.add(p, f.bending + f.tension);
        mass.add(p, f.mass);
    });
    add_rim(cells, space, plane, stiffness, bending);
    const double stiff = s.bending / (cells.frame.hx * cells.frame.hy);
    add_ghost(cells, space, std::abs(s.tension) + stiff, ghost_free, stiffness);
    add_ghost(cells, space, stiff, ghost_free, bending);
    return {stiffness.take(), bending.take(), mass.take()};
}

Plate plate(const Cells& cells, const Space& space, const Plane& plane) {
    const PlateRows rows =
        plate_rows(cells, space, plane, std::make_shared<const Pattern>(pattern_of(cells, space)), 1);
    return {rows.stiffness.lower(), rows.bending.lower(), rows.mass.lower()};
}

}  // namespace tymbal::spline

#include "plane.h"

namespace tymbal::spline {

namespace {

constexpr double hold_plane = 50.0;  ///< of Nitsche's penalty, times E h over the spacing

struct Blocks {
    LocalMatrix xx, xy, yy;
};

Blocks blocks_of(const Frame& f, const Stiffness& c, const Weights& weights) {
    const CellBasis& b = cell_basis();
    const Weights w = weights * (f.hx * f.hy);
    const AtPoints x = b.x / f.hx, y = b.y / f.hy;
    const LocalMatrix along_x = x.transpose() * w.asDiagonal() * x, along_y = y.transpose() * w.asDiagonal() * y;
    const LocalMatrix mixed = x.transpose() * w.asDiagonal() * y;
    return {c.normal * along_x + c.shear * along_y, c.lateral * mixed + c.shear * mixed.transpose(),
            c.normal * along_y + c.shear * along_x};
}

/// Traction of the strain on the rim for displacements along x and along y: rows t_x, t_y of each.
struct Traction {
    Local x_by_u, x_by_v, y_by_u, y_by_v;
};

Traction traction_of(const LocalBasis& b, const Stiffness& c, Point n) {
    return {c.normal * n.x * b.x + c.shear * n.y * b.y, c.lateral * n.x * b.y + c.shear * n.y * b.x,
            c.shear * n.x * b.y + c.lateral * n.y * b.x, c.shear * n.x * b.x + c.normal * n.y * b.y};
}

/// Nitsche's terms of u = v = 0.
void add_rim_point(const Frame& frame, const Sheet& sheet, const Stiffness& c, const RimPoint& r, Blocks& sum) {
    const LocalBasis b = local_basis(frame, r.at);
    const Traction t = traction_of(b, c, r.normal);
    const LocalMatrix held = (hold_plane * sheet.stretch / r.spacing) * b.w * b.w.transpose();
    const LocalMatrix uu = b.w * t.x_by_u.transpose(), vv = b.w * t.y_by_v.transpose();
    sum.xx += r.weight * (held - uu - uu.transpose());
    sum.yy += r.weight * (held - vv - vv.transpose());
    sum.xy -= r.weight * (b.w * t.x_by_v.transpose() + t.y_by_u * b.w.transpose());
}

/// Coefficients of a part's displacement along x (field 0) or y (field 1).
Local coefficients(const PartUnknowns& u, const Vector& displacement, int field) {
    Local out;
    for (std::size_t k = 0; k < per_cell; ++k)
        out[static_cast<Eigen::Index>(k)] = u.sign[k] * displacement[2 * u.unknown[k] + field];
    return out;
}

}  // namespace

Stiffness stiffness_of(const Sheet& s) {
    const double normal = s.stretch / (1.0 - s.poisson * s.poisson);
    return {normal, s.poisson * normal, 0.5 * s.stretch / (1.0 + s.poisson)};
}

Rows plane_stiffness(const Cells& cells, const Space& space, const Sheet& sheet, std::shared_ptr<const Pattern> pattern,
                     unsigned threads) {
    const Stiffness c = stiffness_of(sheet);
    Sum sum(space, std::move(pattern), 2);
    const auto add = [&](std::size_t part, const Blocks& blocks) {
        sum.add(part, blocks.xx, 0, 0);
        sum.add(part, blocks.yy, 1, 1);
        sum.add(part, blocks.xy, 0, 1);
    };
    const Blocks whole = blocks_of(cells.frame, c, whole_cell());
    const auto of_part = [&](std::size_t p) {
        return cells.parts[p].cut < 0 ? whole : blocks_of(cells.frame, c, cells.weights_of(cells.parts[p]));
    };
    for_each_local<Blocks>(cells.parts.size(), threads, of_part, add);
    const std::vector<RimPoint> rim = rim_points(cells);
    for_each_part(rim, [&](std::size_t first, std::size_t last) {
        Blocks blocks{LocalMatrix::Zero(), LocalMatrix::Zero(), LocalMatrix::Zero()};
        for (std::size_t k = first; k < last; ++k)
            if (!rim[k].on_line) add_rim_point(cells.frame, sheet, c, rim[k], blocks);
        add(rim[first].part, blocks);
    });
    add_ghost(cells, space, sheet.stretch, ghost_free, sum);
    return sum.take();
}

Vector plane_load(const Cells& cells, const Space& space, const Pull& pull) {
    const CellBasis& b = cell_basis();
    const Frame& f = cells.frame;
    Vector load = Vector::Zero(2 * space.size);
    const auto add = [&](std::size_t part, int field, const Local& local) {
        const PartUnknowns& u = space.parts[part];
        for (std::size_t k = 0; k < per_cell; ++k)
            load[2 * u.unknown[k] + field] += u.sign[k] * local[static_cast<Eigen::Index>(k)];
    };
    for (std::size_t p = 0; p < cells.parts.size(); ++p) {
        const PointTension n = pull.at_points(p);
        const Weights w = cells.weights_of(cells.parts[p]) * (-f.hx * f.hy);
        const Weights xx = w.cwiseProduct(n.col(0)), yy = w.cwiseProduct(n.col(1)), xy = w.cwiseProduct(n.col(2));
        add(p, 0, b.x.transpose() * xx / f.hx + b.y.transpose() * xy / f.hy);
        add(p, 1, b.y.transpose() * yy / f.hy + b.x.transpose() * xy / f.hx);
    }
    for (const RimPoint& r : rim_points(cells)) {
        if (r.on_line) continue;
        const Tension n = pull.at(r.part, r.at);
        const Local w = r.weight * splines_at(r.at.x, r.at.y, 0, 0);
        add(r.part, 0, w * (n.xx * r.normal.x + n.xy * r.normal.y));
        add(r.part, 1, w * (n.xy * r.normal.x + n.yy * r.normal.y));
    }
    return load;
}

PointTension Plane::at_points(const Cells& cells, const Space& space, std::size_t part) const {
    PointTension out;
    out.col(0).setConstant(sheet.tension);
    out.col(1).setConstant(sheet.tension);
    out.col(2).setZero();
    if (displacement.size() == 0) return out;
    const Stiffness c = stiffness_of(sheet);
    const CellBasis& b = cell_basis();
    const Local u = coefficients(space.parts[part], displacement, 0),
                v = coefficients(space.parts[part], displacement, 1);
    const Weights ux = b.x * u / cells.frame.hx, uy = b.y * u / cells.frame.hy;
    const Weights vx = b.x * v / cells.frame.hx, vy = b.y * v / cells.frame.hy;
    out.col(0) += c.normal * ux + c.lateral * vy;
    out.col(1) += c.lateral * ux + c.normal * vy;
    out.col(2) += c.shear * (uy + vx);
    return out;
}

Tension Plane::at(const Cells& cells, const Space& space, std::size_t part, Point at) const {
    if (displacement.size() == 0) return {sheet.tension, sheet.tension, 0.0};
    const Stiffness c = stiffness_of(sheet);
    const LocalBasis b = local_basis(cells.frame, at);
    const Local u = coefficients(space.parts[part], displacement, 0),
                v = coefficients(space.parts[part], displacement, 1);
    const double ux = b.x.dot(u), vy = b.y.dot(v), gamma = b.y.dot(u) + b.x.dot(v);
    return {sheet.tension + c.normal * ux + c.lateral * vy, sheet.tension + c.lateral * ux + c.normal * vy,
            c.shear * gamma};
}

bool relaxes(const Cells& cells) {
    bool strip = false;
    for (std::size_t s = 0; s < 4; ++s) strip = strip || (cells.frame.flush[s] && !cells.frame.held[s]);
    return strip || !cells.free_edges.empty();
}

double mean_tension(const Cells& cells, const Space& space, const Plane& plane) {
    double sum = 0.0, total = 0.0;
    for (std::size_t p = 0; p < cells.parts.size(); ++p) {
        const Weights& w = cells.weights_of(cells.parts[p]);
        const PointTension n = plane.at_points(cells, space, p);
        sum += 0.5 * w.dot(n.col(0) + n.col(1));
        total += w.sum();
    }
    return sum / total;
}

}  // namespace tymbal::spline

#include "plane.h"

#include "factor.h"

#include "tymbal/base/error.h"

namespace tymbal::spline {

namespace {

constexpr double hold_plane = 50.0;  ///< of Nitsche's penalty, times E h over the spacing

struct Stiffness {
    double normal, lateral, shear;  ///< C_xxxx, C_xxyy, C_xyxy, N/m
};

Stiffness stiffness_of(const Sheet& s) {
    const double normal = s.stretch / (1.0 - s.poisson * s.poisson);
    return {normal, s.poisson * normal, 0.5 * s.stretch / (1.0 + s.poisson)};
}

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

class System {
public:
    System(const Cells& cells, const Space& space, const Sheet& sheet, std::shared_ptr<const Pattern> pattern,
           unsigned threads)
        : cells_(cells),
          space_(space),
          sheet_(sheet),
          c_(stiffness_of(sheet)),
          sum_(space, std::move(pattern), 2),
          load_(Vector::Zero(2 * space.size)) {
        add_cells(threads);
        add_rim();
        add_ghost(cells, space, sheet.stretch, ghost_free, sum_);
    }
    PlaneSystem take() { return {sum_.take(), std::move(load_)}; }

private:
    void add_cells(unsigned threads) {
        const Blocks whole = blocks_of(cells_.frame, c_, whole_cell());
        const CellBasis& b = cell_basis();
        const double area = cells_.frame.hx * cells_.frame.hy;
        const auto blocks = [&](std::size_t p) {
            return cells_.parts[p].cut < 0 ? whole : blocks_of(cells_.frame, c_, cells_.weights_of(cells_.parts[p]));
        };
        for_each_local<Blocks>(cells_.parts.size(), threads, blocks, [&](std::size_t p, const Blocks& own) {
            const Weights& w = cells_.weights_of(cells_.parts[p]);
            sum_.add(p, own.xx, 0, 0);
            sum_.add(p, own.yy, 1, 1);
            sum_.add(p, own.xy, 0, 1);
            add_load(p, 0, b.x.transpose() * w * (-sheet_.tension * area / cells_.frame.hx));
            add_load(p, 1, b.y.transpose() * w * (-sheet_.tension * area / cells_.frame.hy));
        });
    }
    void add_rim() {
        const std::vector<RimPoint> points = rim_points(cells_);
        for_each_part(points, [&](std::size_t first, std::size_t last) {
            Blocks sum{LocalMatrix::Zero(), LocalMatrix::Zero(), LocalMatrix::Zero()};
            for (std::size_t k = first; k < last; ++k)
                if (!points[k].on_line) add_point(points[k], sum);
            sum_.add(points[first].part, sum.xx, 0, 0);
            sum_.add(points[first].part, sum.yy, 1, 1);
            sum_.add(points[first].part, sum.xy, 0, 1);
        });
    }
    void add_point(const RimPoint& r, Blocks& sum) {
        const LocalBasis b = local_basis(cells_.frame, r.at);
        const Traction t = traction_of(b, c_, r.normal);
        const LocalMatrix held = (hold_plane * sheet_.stretch / r.spacing) * b.w * b.w.transpose();
        const LocalMatrix uu = b.w * t.x_by_u.transpose(), vv = b.w * t.y_by_v.transpose();
        sum.xx += r.weight * (held - uu - uu.transpose());
        sum.yy += r.weight * (held - vv - vv.transpose());
        sum.xy -= r.weight * (b.w * t.x_by_v.transpose() + t.y_by_u * b.w.transpose());
        add_load(r.part, 0, b.w * (r.weight * sheet_.tension * r.normal.x));
        add_load(r.part, 1, b.w * (r.weight * sheet_.tension * r.normal.y));
    }
    void add_load(std::size_t part, int field, const Local& local) {
        const PartUnknowns& u = space_.parts[part];
        for (std::size_t k = 0; k < per_cell; ++k)
            load_[2 * u.unknown[k] + field] += u.sign[k] * local[static_cast<Eigen::Index>(k)];
    }

    const Cells& cells_;
    const Space& space_;
    const Sheet& sheet_;
    Stiffness c_;
    Sum sum_;
    Vector load_;
};

/// Coefficients of a part's displacement along x (field 0) or y (field 1).
Local coefficients(const PartUnknowns& u, const Vector& displacement, int field) {
    Local out;
    for (std::size_t k = 0; k < per_cell; ++k)
        out[static_cast<Eigen::Index>(k)] = u.sign[k] * displacement[2 * u.unknown[k] + field];
    return out;
}

}  // namespace

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

PlaneSystem plane_system(const Cells& cells, const Space& space, const Sheet& sheet,
                         std::shared_ptr<const Pattern> pattern, unsigned threads) {
    return System(cells, space, sheet, std::move(pattern), threads).take();
}

Plane relax(const Cells& cells, const Space& space, const Sheet& sheet) {
    if (!relaxes(cells)) return {sheet, {}};
    const PlaneSystem system =
        plane_system(cells, space, sheet, std::make_shared<const Pattern>(pattern_of(cells, space)), 1);
    const Factor factor(system.stiffness.lower(), space, 2);
    if (factor.negative() > 0) throw NoAnswer("the film cannot be balanced in its plane: part of it is not held");
    return {sheet, factor.solve(system.load)};
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

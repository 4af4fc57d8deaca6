#include "stretching.h"

#include "plane_balance.h"
#include "shapes.h"

#include <cmath>

namespace tymbal::spline {

namespace {

/// C : e by one shape.
class Stretched : public Pull {
public:
    Stretched(const SolvedGrid& grid, Vector shape) : grid_(grid), shape_(std::move(shape)) {}

    /// e at the Gauss points of a part: columns xx, yy, gamma_xy.
    [[nodiscard]] PointTension strain(std::size_t part) const {
        const Local w = coefficients(grid_.space.parts[part], shape_);
        const Weights x = cell_basis().x * w / grid_.cells.frame.hx, y = cell_basis().y * w / grid_.cells.frame.hy;
        PointTension e;
        e.col(0) = 0.5 * x.cwiseAbs2();
        e.col(1) = 0.5 * y.cwiseAbs2();
        e.col(2) = x.cwiseProduct(y);
        return e;
    }
    [[nodiscard]] PointTension at_points(std::size_t part) const override {
        const Stiffness c = stiffness_of(grid_.plane.sheet);
        const PointTension e = strain(part);
        PointTension n;
        n.col(0) = c.normal * e.col(0) + c.lateral * e.col(1);
        n.col(1) = c.lateral * e.col(0) + c.normal * e.col(1);
        n.col(2) = c.shear * e.col(2);
        return n;
    }
    [[nodiscard]] Tension at(std::size_t part, Point at) const override {
        const Stiffness c = stiffness_of(grid_.plane.sheet);
        const Local w = coefficients(grid_.space.parts[part], shape_);
        const LocalBasis b = local_basis(grid_.cells.frame, at);
        const double x = b.x.dot(w), y = b.y.dot(w), xx = 0.5 * x * x, yy = 0.5 * y * y;
        return {c.normal * xx + c.lateral * yy, c.lateral * xx + c.normal * yy, c.shear * x * y};
    }

private:
    const SolvedGrid& grid_;
    Vector shape_;
};

double energy(const SolvedGrid& g, const Stretched& stretched, const Plane& added) {
    double sum = 0.0;
    for (std::size_t p = 0; p < g.cells.parts.size(); ++p) {
        const PointTension n = stretched.at_points(p) + added.at_points(g.cells, g.space, p);
        sum += g.cells.weights_of(g.cells.parts[p]).dot(stretched.strain(p).cwiseProduct(n).rowwise().sum());
    }
    return sum * g.cells.frame.hx * g.cells.frame.hy;
}

}  // namespace

Vector cubic_stiffness(const SolvedGrid& g) {
    const PlaneBalance balance(g.cells, g.space, g.plane.sheet);
    Sheet without_tension = g.plane.sheet;
    without_tension.tension = 0.0;
    Vector out(g.values.size());
    for (Eigen::Index k = 0; k < out.size(); ++k) {
        const Stretched stretched(g, g.vectors.col(k) * std::sqrt(g.masses[k]));
        const Plane added{without_tension, balance.displacement(stretched)};
        out[k] = 2.0 * energy(g, stretched, added);
    }
    return out;
}

}  // namespace tymbal::spline

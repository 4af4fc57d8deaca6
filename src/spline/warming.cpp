#include "warming.h"

#include "places.h"
#include "plane_balance.h"
#include "plate.h"
#include "shapes.h"

#include <algorithm>
#include <cmath>
#include <memory>
#include <utility>

namespace tymbal::spline {

namespace {

/// The film's own tension per kelvin where nothing can move, over its temperature.
class Warmed : public Pull {
public:
    Warmed(const SolvedGrid& grid, const Vector& temperature, double expansion)
        : grid_(grid),
          temperature_(temperature),
          per_kelvin_(-expansion * grid.plane.sheet.stretch / (1.0 - grid.plane.sheet.poisson)) {}
    [[nodiscard]] PointTension at_points(std::size_t part) const override {
        PointTension n = PointTension::Zero();
        n.col(0) = per_kelvin_ * (cell_basis().w * coefficients(grid_.space.parts[part], temperature_));
        n.col(1) = n.col(0);
        return n;
    }
    [[nodiscard]] Tension at(std::size_t part, Point at) const override {
        const Local t = coefficients(grid_.space.parts[part], temperature_);
        const double n = per_kelvin_ * splines_at(at.x, at.y, 0, 0).dot(t);
        return {n, n, 0.0};
    }

private:
    const SolvedGrid& grid_;
    const Vector& temperature_;
    double per_kelvin_;
};

Vector temperature_of(const SolvedGrid& g, const Warmth& warmth) {
    Sheet conductor;
    conductor.tension = warmth.conduction;
    conductor.mass = warmth.radiation;
    const auto pattern = std::make_shared<const Pattern>(pattern_of(g.cells, g.space));
    PlateRows p = plate_rows(g.cells, g.space, {conductor, {}}, pattern, 1);
    for (std::size_t k = 0; k < p.stiffness.value.size(); ++k) p.stiffness.value[k] += p.mass.value[k];
    return LinearSolver(g.cells, g.space, std::move(p.stiffness)).solve(spot_load(g.cells, g.space, warmth.spot));
}

double hottest_of(const SolvedGrid& g, const Vector& temperature) {
    double top = 0.0;
    for_each_place(g.cells, [&](std::size_t part, Point at, bool) {
        top = std::max(top, splines_at(at.x, at.y, 0, 0).dot(coefficients(g.space.parts[part], temperature)));
    });
    return top;
}

/// Adds what one part's change of tension does to the grid's shapes.
void add_shifts(const SolvedGrid& g, std::size_t part, const PointTension& n, const Weights& weights, Vector& shifts) {
    const Frame& f = g.cells.frame;
    for (Eigen::Index k = 0; k < shifts.size(); ++k) {
        const Local w = coefficients(g.space.parts[part], g.vectors.col(k));
        const Weights x = cell_basis().x * w / f.hx, y = cell_basis().y * w / f.hy;
        shifts[k] += f.hx * f.hy *
                     (weights.array() * (n.col(0).array() * x.array().square() + n.col(1).array() * y.array().square() +
                                         2.0 * n.col(2).array() * x.array() * y.array()))
                         .sum();
    }
}

}  // namespace

Warming warming(const SolvedGrid& g, const Warmth& warmth) {
    const Vector temperature = temperature_of(g, warmth);
    Warming out;
    out.hottest = hottest_of(g, temperature);
    out.sum = pressure_load(g.cells, g.space).dot(temperature);
    out.shifts = Vector::Zero(g.values.size());
    const Warmed warmed(g, temperature, warmth.expansion);
    const PlaneBalance balance(g.cells, g.space, g.plane.sheet);
    Sheet without_tension = g.plane.sheet;
    without_tension.tension = 0.0;
    const Plane moved{without_tension, balance.displacement(warmed)};
    for (std::size_t p = 0; p < g.cells.parts.size(); ++p) {
        const PointTension change = warmed.at_points(p) + moved.at_points(g.cells, g.space, p);
        const Weights& w = g.cells.weights_of(g.cells.parts[p]);
        out.tension_drop -= 0.5 * g.cells.frame.hx * g.cells.frame.hy * w.dot(change.col(0) + change.col(1));
        add_shifts(g, p, change, w, out.shifts);
    }
    return out;
}

}  // namespace tymbal::spline

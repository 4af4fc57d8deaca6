#include "tymbal/modes/find_modes.h"

#include <cmath>

namespace tymbal {

namespace {

/// The same nodes on a film stretched along x and y: exact for rims along the grid lines.
Grid stretched(Grid grid, double along_x, double along_y) {
    grid.x0 *= along_x;
    grid.dx *= along_x;
    grid.y0 *= along_y;
    grid.dy *= along_y;
    for (Node& node : grid.nodes)
        for (std::size_t a = 0; a < 4; ++a) node.arms[a].length *= a < 2 ? along_x : along_y;
    return grid;
}

/// d ln(omega^2) / d ln(width): the shape rides on the stretched film, tension and stiffness kept.
double stretch_derivative(const Level& level, RimTreatment rim, const Vector& w, bool along_x) {
    constexpr double step = 1e-4;
    const CellTensor pull = sampled(level.tension, level.grid);
    const auto quotient = [&](double factor) {
        const Grid grid = stretched(level.grid, along_x ? factor : 1.0, along_x ? 1.0 : factor);
        const RimBending rim_bending = rim == RimTreatment::thin_layer ? RimBending::free_slope : RimBending::clamped;
        const Vector kw = tension_matrix(grid, pull) * w +
                          bending_matrix(grid, level.map.rim_bending, level.map.bending_difference, rim_bending) * w;
        return w.dot(kw) / w.dot(mass_vector(grid, level.map.areal_density).cwiseProduct(w));
    };
    return (std::log(quotient(1.0 + step)) - std::log(quotient(1.0 - step))) / (2.0 * step);
}

/// d ln(omega^2) / d ln(inner diameter) by Hadamard's formula: the rim that moves in does the work of its slope (of its
/// curvature where it is clamped on the grid).
double inner_rim_derivative(const Level& level, const ModeProblem& problem, RimTreatment rim, Eigen::Index k) {
    const Ring* ring = std::get_if<Ring>(&problem.outline);
    if (ring == nullptr) return 0.0;
    double work = 0.0;
    for (const RimTouch& touch : rim_touches(level.grid, level.shapes.col(k))) {
        if (touch.loop != 1) continue;
        const auto n = level.tension.at(touch.place);
        work += rim == RimTreatment::thin_layer
                    ? touch.slope2_ds * (n[0] * touch.normal.x * touch.normal.x + n[1] * touch.normal.y * touch.normal.y +
                                         2.0 * n[2] * touch.normal.x * touch.normal.y)
                    : touch.curvature2_ds * level.map.rim_bending;
    }
    return 0.5 * ring->inner_diameter.si() * work / level.values[k];
}

}  // namespace

Sensitivity sensitivity(const Level& level, const ModeProblem& problem, RimTreatment rim, Eigen::Index k) {
    const Vector w = level.shapes.col(k);
    const double lambda = level.values[k];
    const double pull = w.dot(level.pull * w) / lambda;
    const double bend = w.dot(level.bend * w) / lambda;
    const EdgeLayer& layer = level.layers[static_cast<std::size_t>(k)];
    const double edge = layer.energy / lambda;  // omega^2 rises by edge * d ln(layer thickness)
    Sensitivity s;
    s.stress = pull - 0.5 * edge;
    s.modulus = bend + 0.5 * edge;
    s.thickness = pull + 3.0 * bend + edge - 1.0;
    s.density = -1.0;
    const double nu = problem.film.poisson_ratio;
    s.poisson_ratio = s.modulus * 2.0 * nu * nu / (1.0 - nu * nu);
    s.scale = -2.0 * pull - 4.0 * bend - edge;
    if (std::holds_alternative<Rectangle>(problem.outline)) {
        s.width = stretch_derivative(level, rim, w, true) - layer.energy_x / lambda;
        s.height = stretch_derivative(level, rim, w, false) - (layer.energy - layer.energy_x) / lambda;
    }
    s.inner = inner_rim_derivative(level, problem, rim, k);
    return s;
}

}  // namespace tymbal

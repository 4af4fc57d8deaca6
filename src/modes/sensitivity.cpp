#include "tymbal/modes/find_modes.h"

#include "order.h"

#include <algorithm>
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

struct Operators {
    SparseMatrix stiffness;
    Vector mass;
};

Operators stretched_operators(const Level& level, RimTreatment rim, double along_x, double along_y) {
    const Grid grid = stretched(level.grid, along_x, along_y);
    const RimBending rim_bending = rim == RimTreatment::thin_layer ? RimBending::free_slope : RimBending::clamped;
    const Vector mass = mass_vector(grid, level.map.areal_density);
    if (level.holes_resolved) return {corner_tension_matrix(grid, level.corners), mass};
    return {tension_matrix(grid, sampled(level.tension, level.grid)) +
                bending_matrix(grid, level.map.rim_bending, level.map.bending_difference, rim_bending),
            mass};
}

/// d ln(omega^2) / d ln(width or height) of all modes: the shapes ride on the stretched film, tension and stiffness
/// kept.
std::vector<double> stretch_derivatives(const Level& level, RimTreatment rim, bool along_x) {
    constexpr double step = 1e-4;
    const auto at = [&](double f) { return stretched_operators(level, rim, along_x ? f : 1.0, along_x ? 1.0 : f); };
    const Operators more = at(1.0 + step), less = at(1.0 - step);
    std::vector<double> derivatives;
    for (Eigen::Index k = 0; k < level.shapes.cols(); ++k) {
        const Vector w = level.shapes.col(k);
        const auto quotient = [&](const Operators& o) {
            return w.dot(o.stiffness * w) / w.dot(o.mass.cwiseProduct(w));
        };
        derivatives.push_back((std::log(quotient(more)) - std::log(quotient(less))) / (2.0 * step));
    }
    return derivatives;
}

/// d ln(omega^2) / d ln(inner diameter) of all modes, from rings with a slightly smaller and a slightly larger hole on
/// a grid twice as fine as the level's. The step is wide because the rim cuts the cells of each elsewhere, which
/// scatters omega^2 by about 1e-3.
std::vector<double> inner_rim_derivatives(const Level& level, const ModeProblem& problem, RimTreatment rim) {
    const Ring& ring = std::get<Ring>(problem.outline);
    const double gap = ring.outer_diameter.si() / ring.inner_diameter.si() - 1.0;
    const double step = 0.03 * std::min(1.0, gap);  // a narrow ring must not close
    const auto with_hole = [&](double factor) {
        ModeProblem changed = problem;
        changed.count = static_cast<int>(level.values.size());
        const Sourced<Length>& inner = ring.inner_diameter;
        changed.outline = Ring{ring.outer_diameter, {factor * inner.value(), inner.deviation(), inner.source()}};
        Level other = solve_level(changed, 2 * level.cells_x, 2 * level.cells_y, rim);
        reorder(other, same_shapes(level, other));
        return other;
    };
    const Level more = with_hole(std::exp(step)), less = with_hole(std::exp(-step));
    std::vector<double> derivatives;
    for (Eigen::Index k = 0; k < level.values.size(); ++k)
        derivatives.push_back(std::log(more.corrected(k) / less.corrected(k)) / (2.0 * step));
    return derivatives;
}

Sensitivity film_sensitivity(const Level& level, const ModeProblem& problem, Eigen::Index k) {
    const Vector w = level.shapes.col(k);
    const double lambda = level.values[k];
    const double pull = level.holes_resolved ? 1.0 : w.dot(level.pull * w) / lambda;
    const double bend = level.interior[k] / lambda;
    const double edge = level.layers[static_cast<std::size_t>(k)].energy / lambda;  // per d ln(layer thickness)
    Sensitivity s;
    s.stress = pull - 0.5 * edge;
    s.modulus = bend + 0.5 * edge;
    s.thickness = pull + 3.0 * bend + edge - 1.0;
    s.density = -1.0;
    const double nu = problem.film.poisson_ratio;
    s.poisson_ratio = s.modulus * 2.0 * nu * nu / (1.0 - nu * nu);
    s.scale = -2.0 * pull - 4.0 * bend - edge;
    // Hadamard's formula; where the layer is resolved, as if the outline swelled evenly.
    const Boundary outline = boundary(problem.outline);
    s.rim = level.shift > 0.0 ? -edge / level.shift : s.scale * perimeter(outline) / (2.0 * area(outline));
    return s;
}

}  // namespace

std::vector<Sensitivity> sensitivities(const Level& level, const ModeProblem& problem, RimTreatment rim) {
    const bool rectangle = std::holds_alternative<Rectangle>(problem.outline);
    const std::vector<double> width = rectangle ? stretch_derivatives(level, rim, true) : std::vector<double>{};
    const std::vector<double> height = rectangle ? stretch_derivatives(level, rim, false) : std::vector<double>{};
    const bool ring = std::holds_alternative<Ring>(problem.outline);
    const std::vector<double> inner = ring ? inner_rim_derivatives(level, problem, rim) : std::vector<double>{};
    std::vector<Sensitivity> all;
    for (Eigen::Index k = 0; k < level.shapes.cols(); ++k) {
        Sensitivity s = film_sensitivity(level, problem, k);
        if (rectangle) {
            const auto n = static_cast<std::size_t>(k);
            const EdgeLayer& layer = level.layers[n];
            s.width = width[n] - layer.energy_x / level.values[k];
            s.height = height[n] - (layer.energy - layer.energy_x) / level.values[k];
        }
        if (ring) s.inner = inner[static_cast<std::size_t>(k)];
        all.push_back(s);
    }
    return all;
}

}  // namespace tymbal

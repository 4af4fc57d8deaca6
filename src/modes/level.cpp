#include "tymbal/modes/find_modes.h"

#include "tymbal/base/error.h"
#include "tymbal/film/slack_film.h"
#include "tymbal/geometry/strip.h"
#include "tymbal/grid/eigenpairs.h"
#include "tymbal/grid/held_film.h"
#include "tymbal/grid/lattice_modes.h"
#include "tymbal/grid/pages.h"
#include "tymbal/modes/film_top.h"
#include "tymbal/modes/labels.h"

#include "../base/in_parallel.h"
#include "../grid/each_node.h"
#include "bending_band.h"
#include "curvature.h"
#include "open_film.h"

#include <algorithm>
#include <cmath>
#include <utility>

namespace tymbal {

namespace {

FieldBending bending_for(RimTreatment rim) {
    return rim == RimTreatment::thin_layer ? FieldBending::tension_driven : FieldBending::plate;
}

RimBending rim_bending_for(RimTreatment rim) {
    return rim == RimTreatment::thin_layer ? RimBending::free_slope : RimBending::clamped;
}

void assemble(const ModeProblem& problem, RimTreatment rim, Level& level) {
    level.map = paint(problem.film, level.grid, bending_for(rim));
    level.pull = tension_matrix(level.grid, sampled(level.tension, level.grid));
    level.bend = bending_matrix(level.grid, level.map.rim_bending, level.map.bending_difference, rim_bending_for(rim));
    level.mass = mass_vector(level.grid, level.map.areal_density);
}

/// The layer on a rim that was not moved: its first order, and the second order of an outline that shrinks by the layer
/// all round, omega^2 ~ 1/(L - 2 delta)^2. A disc with a free hole, whose tension falls from the rim, has 1.8 instead
/// of 0.75 (tests/modes): that is the error.
EdgeLayer layer_on_true_rim(const Level& level, Eigen::Index k, const LayerRim& rim) {
    EdgeLayer layer = edge_layer(level.grid, level.shapes.col(k), level.values[k], rim, level.tension, level.map);
    const double first = layer.energy / level.values[k];
    layer.uneven += 0.75 * first * layer.energy;
    layer.model_error += 0.5 * (1.8 - 0.75) * first * first;
    return layer;
}

/// Modes by tension alone: factored where the grid is small, by multigrid where it is large. A large level keeps no
/// matrix.
void solve_tension(int count, const SolveEffort& effort, Level& level) {
    if (factors_well(level.grid)) {
        level.pull = corner_tension_matrix(level.grid, level.corners);
        level.bend = SparseMatrix(level.pull.rows(), level.pull.cols());
        const Eigenpairs pairs = lowest_eigenpairs(level.pull, level.mass, count);
        level.values = pairs.values;
        level.shapes = pairs.vectors;
        return;
    }
    const LatticeFilm film = corner_lattice_film(level.grid, level.corners, level.map.areal_density, effort.cores());
    LatticeModeOptions options;  // its residual moves the energy of curvature by 1e-5
    options.count = count;
    const LatticeModes modes = lattice_modes(film, options, effort);
    level.values = modes.values;
    level.shapes.resize(static_cast<Eigen::Index>(level.grid.nodes.size()), count);
    prefer_huge_pages(level.shapes);
    for_each_node(level.grid, effort.cores(), [&](std::size_t n) {
        const Node& node = level.grid.nodes[n];
        const std::size_t place = film.stiffness.at(node.i - 1, node.j - 1) * static_cast<std::size_t>(modes.lanes);
        for (Eigen::Index k = 0; k < count; ++k)
            level.shapes(static_cast<Eigen::Index>(n), k) = modes.vectors[place + static_cast<std::size_t>(k)];
    });
}

/// Corners that are compressed by rounding at a cut edge may still make the film unstable on this grid: then those are
/// raised as well, which costs curvature its second order. (Raising them only where the film is unstable gave no better
/// curvature on random films.)
void solve_raised(const ModeProblem& problem, Level& level, CornerTensor& raised) {
    try {
        solve_tension(problem.count, problem.effort, level);
        if (level.values[0] > 0.0) return;
    } catch (const NoAnswer&) {
        problem.effort.keep_going();  // where the solution was stopped it ends here
    }
    raise_all(problem.film, level.grid, level.map, level.corners, raised);
    solve_tension(problem.count, problem.effort, level);
}

/// Relaxes a film that is laid out. @return  by how much slack corners were raised, see relax_resolved
CornerTensor relax_level(const ModeProblem& problem, Level& level) {
    if (problem.film.stress <= 0.0)
        throw NoAnswer("the resolved model needs a film under tension; raise film.stress above zero");
    ResolvedStress stress = relax_resolved(problem.film, level.grid, level.map, problem.effort);
    level.peak = peak_stress(problem.film, level.grid, level.map, stress, problem.effort.cores());
    level.tension = std::move(stress.field);
    level.corners = std::move(stress.corners);
    return std::move(stress.raised);
}

/// Curvature energy and clamped layer of the level's values and shapes, by tension's first order.
void add_open_bending(const ModeProblem& problem, Level& level) {
    const Boundary rim = boundary(problem.outline);
    BendingInput bending{problem.film.bending(), problem.film.poisson_ratio, covered(rim, level.grid)};
    for (std::size_t c = 0; c < bending.film.size(); ++c) bending.film[c] *= level.held_film[c];
    level.interior = curvature_energy(level.grid, bending, level.shapes, problem.effort.cores());
    const LayerRim held{0.0, problem.film.density * problem.film.thickness,
                        doubtful_touches(rim, level.grid, 0.0, level.map.film)};
    level.layers.resize(static_cast<std::size_t>(level.values.size()));
    in_parallel(level.layers.size(), problem.effort.cores(),
                [&](std::size_t k) { level.layers[k] = layer_on_true_rim(level, static_cast<Eigen::Index>(k), held); });
}

/// Modes of the resolved model's own: shapes by tension alone, bending added to first order.
Level solve_open_level(const ModeProblem& problem, int cells_x, int cells_y) {
    Level level = lay_open_film(problem, cells_x, cells_y);
    CornerTensor raised = relax_level(problem, level);
    solve_raised(problem, level, raised);
    align_pairs(problem.outline, level.grid, level.mass, level.values, level.shapes, problem.effort.cores());
    add_open_bending(problem, level);
    // Bending is first order on shapes that follow tension: the next order is about its share squared.
    for (Eigen::Index k = 0; k < level.values.size(); ++k)
        level.layers[static_cast<std::size_t>(k)].model_error += 0.5 * std::pow(level.interior[k] / level.values[k], 2);
    if (raised.empty()) return level;
    const Vector slack = corner_tension_energy(level.grid, raised, level.shapes, problem.effort.cores());
    for (Eigen::Index k = 0; k < level.values.size(); ++k)
        level.layers[static_cast<std::size_t>(k)].model_error += 0.5 * slack[k] / level.values[k];
    return level;
}

}  // namespace

Level lay_open_film(const ModeProblem& problem, int cells_x, int cells_y) {
    Level level;
    level.cells_x = cells_x;
    level.cells_y = cells_y;
    level.holes_resolved = true;
    Grid whole = make_grid(boundary(problem.outline), cells_x, cells_y);
    level.map = paint(problem.film, whole, FieldBending::tension_driven, problem.effort.cores());
    HeldFilm held = held_film(std::move(whole), level.map.film);
    level.loose_area = held.loose_area;
    level.grid = std::move(held.grid);
    level.mass = mass_vector(level.grid, level.map.areal_density);
    level.depth = depth_in_openings(level.grid, held.film, problem.film.openings);
    level.held_film = std::move(held.film);
    return level;
}

double Level::corrected(Eigen::Index k) const {
    const EdgeLayer& layer = layers[static_cast<std::size_t>(k)];
    return values[k] + layer.uneven + layer.third_order + (holes_resolved ? interior[k] : 0.0);
}

Level solve_level(const ModeProblem& problem, int cells_x, int cells_y, RimTreatment rim) {
    problem.effort.keep_going();
    if (const auto* strip = std::get_if<Strip>(&problem.outline)) {
        ModeProblem framed = problem;
        framed.outline = frame_of(*strip);
        return solve_level(framed, cells_x, cells_y, rim);
    }
    if (!problem.film.openings.empty()) return solve_open_level(problem, cells_x, cells_y);
    Level level;
    level.cells_x = cells_x;
    level.cells_y = cells_y;
    const Grid true_grid = make_grid(boundary(problem.outline), cells_x, cells_y);
    level.true_rim_map = paint(problem.film, true_grid, bending_for(rim));
    level.tension = relax(problem.film, true_grid, level.true_rim_map);
    if (rim == RimTreatment::thin_layer) {
        level.shift = std::sqrt(level.true_rim_map.rim_bending / rim_tension(level.tension));
        level.grid = make_grid(boundary(problem.outline, level.shift), cells_x, cells_y);
    } else {
        level.grid = true_grid;
    }
    assemble(problem, rim, level);
    const Eigenpairs pairs = lowest_eigenpairs(level.pull + level.bend, level.mass, problem.count, mirrors(level.grid));
    level.values = pairs.values;
    level.shapes = pairs.vectors;
    align_pairs(problem.outline, level.grid, level.mass, level.values, level.shapes, 1);
    level.interior = (level.shapes.transpose() * level.bend * level.shapes).diagonal();
    level.layers.resize(static_cast<std::size_t>(level.values.size()));
    if (rim == RimTreatment::resolved) return level;
    const LayerRim moved{level.shift, problem.film.density * problem.film.thickness,
                         doubtful_touches(boundary(problem.outline), level.grid, level.shift, {})};
    for (Eigen::Index k = 0; k < level.values.size(); ++k)
        level.layers[static_cast<std::size_t>(k)] =
            edge_layer(level.grid, level.shapes.col(k), level.values[k], moved, level.tension, level.map);
    return level;
}

namespace {

/// Stiffness, mass and tension of another film on a level's grid.
struct Repainted {
    SparseMatrix stiffness;
    Vector mass;
    TensionField tension;
    FilmMap map;
};

Repainted repaint(const Level& level, const PaintedFilm& film) {
    if (level.holes_resolved) {
        FilmMap map = paint(film, level.grid, FieldBending::tension_driven);
        ResolvedStress stress = relax_resolved(film, level.grid, map);
        return {corner_tension_matrix(level.grid, stress.corners), mass_vector(level.grid, map.areal_density),
                std::move(stress.field), std::move(map)};
    }
    const RimTreatment rim = level.shift > 0.0 ? RimTreatment::thin_layer : RimTreatment::resolved;
    TensionField tension = relax(film, level.tension.grid, paint(film, level.tension.grid, bending_for(rim)));
    FilmMap map = paint(film, level.grid, bending_for(rim));
    return {tension_matrix(level.grid, sampled(tension, level.grid)) +
                bending_matrix(level.grid, map.rim_bending, map.bending_difference, rim_bending_for(rim)),
            mass_vector(level.grid, map.areal_density), std::move(tension), std::move(map)};
}

}  // namespace

std::vector<double> rayleigh_quotients(const Level& level, const PaintedFilm& film, int count) {
    const Repainted other = repaint(level, film);
    const bool thin = level.shift > 0.0 || level.holes_resolved;
    std::vector<double> quotients;
    for (Eigen::Index k = 0; k < count; ++k) {
        const Vector w = level.shapes.col(k);
        double lambda = w.dot(other.stiffness * w) / w.dot(other.mass.cwiseProduct(w));
        if (thin)
            lambda += edge_layer(level.grid, w, lambda, {level.shift, film.density * film.thickness}, other.tension,
                                 other.map)
                          .uneven;
        quotients.push_back(lambda);
    }
    return quotients;
}

}  // namespace tymbal

#include "tymbal/modes/find_modes.h"

#include "tymbal/base/error.h"
#include "tymbal/grid/eigenpairs.h"
#include "tymbal/modes/labels.h"

#include <cmath>

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

}  // namespace

double Level::corrected(Eigen::Index k) const {
    const EdgeLayer& layer = layers[static_cast<std::size_t>(k)];
    return values[k] + layer.uneven + layer.third_order;
}

Level solve_level(const ModeProblem& problem, int cells_x, int cells_y, RimTreatment rim) {
    Level level;
    level.cells_x = cells_x;
    level.cells_y = cells_y;
    const Grid true_grid = make_grid(boundary(problem.outline), cells_x, cells_y);
    level.tension_map = paint(problem.film, true_grid, bending_for(rim));
    level.tension = relax(problem.film, true_grid, level.tension_map);
    if (rim == RimTreatment::thin_layer) {
        level.shift = std::sqrt(level.tension_map.rim_bending / rim_tension(level.tension));
        level.grid = make_grid(boundary(problem.outline, level.shift), cells_x, cells_y);
    } else {
        level.grid = true_grid;
    }
    assemble(problem, rim, level);
    const Mirrors images = mirrors(level.grid);
    const Eigenpairs pairs =
        lowest_eigenpairs(level.pull + level.bend, level.mass, problem.count, {images.in_x, images.in_y});
    level.values = pairs.values;
    level.shapes = pairs.vectors;
    align_pairs(problem.outline, level.grid, level.mass, level.values, level.shapes);
    const double rim_density = problem.film.density * problem.film.thickness;
    for (Eigen::Index k = 0; k < level.values.size(); ++k)
        level.layers.push_back(rim == RimTreatment::thin_layer
                                   ? edge_layer(level.grid, level.shapes.col(k), level.values[k], level.shift,
                                                level.tension, level.map, rim_density)
                                   : EdgeLayer{});
    return level;
}

std::vector<double> rayleigh_quotients(const Level& level, const PaintedFilm& film, int count) {
    const bool thin = level.shift > 0.0;
    const RimTreatment rim = thin ? RimTreatment::thin_layer : RimTreatment::resolved;
    const FilmMap in_plane = paint(film, level.tension.grid, bending_for(rim));
    const TensionField tension = relax(film, level.tension.grid, in_plane);
    const FilmMap map = paint(film, level.grid, bending_for(rim));
    const SparseMatrix stiffness =
        tension_matrix(level.grid, sampled(tension, level.grid)) +
        bending_matrix(level.grid, map.rim_bending, map.bending_difference, rim_bending_for(rim));
    const Vector mass = mass_vector(level.grid, map.areal_density);
    std::vector<double> quotients;
    for (Eigen::Index k = 0; k < count; ++k) {
        const Vector w = level.shapes.col(k);
        double lambda = w.dot(stiffness * w) / w.dot(mass.cwiseProduct(w));
        if (thin)
            lambda +=
                edge_layer(level.grid, w, lambda, level.shift, tension, map, film.density * film.thickness).uneven;
        quotients.push_back(lambda);
    }
    return quotients;
}

}  // namespace tymbal

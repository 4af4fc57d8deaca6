#include "tymbal/task/static_answers.h"

#include "tymbal/grid/eigenpairs.h"
#include "tymbal/modes/film_top.h"

#include <algorithm>
#include <array>
#include <cmath>

namespace tymbal {

namespace {

/// Share of a centred Gaussian spot's light (1/e^2 radius) between two coordinates.
double spot_share(double from, double to, double centre, double radius) {
    const double scale = std::sqrt(2.0) / radius;
    return 0.5 * (std::erf((to - centre) * scale) - std::erf((from - centre) * scale));
}

/// Total force one, spread like the spot's light over the nodes' own cells.
Vector spot_load(const Grid& grid, const Readout& spot) {
    Vector load(static_cast<Eigen::Index>(grid.nodes.size()));
    const double radius = spot.spot_radius.si();
    for (std::size_t n = 0; n < grid.nodes.size(); ++n) {
        const Point p = grid.place(grid.nodes[n]);
        load[static_cast<Eigen::Index>(n)] =
            spot_share(p.x - 0.5 * grid.dx, p.x + 0.5 * grid.dx, spot.position.x, radius) *
            spot_share(p.y - 0.5 * grid.dy, p.y + 0.5 * grid.dy, spot.position.y, radius);
    }
    return load;
}

/// The spot's load on a level: where holes are resolved it acts on their film alone, total force one.
Vector spot_load(const Level& level, const Readout& spot, double areal_density) {
    Vector load = spot_load(level.grid, spot);
    if (!level.holes_resolved) return load;
    load = load.cwiseProduct(level.mass) / (areal_density * level.grid.dx * level.grid.dy);
    const double total = load.sum();
    return total > 0.0 ? Vector(load / total) : load;
}

/// Cells across the box that put at least two on the spot's radius, as far as that is affordable.
std::array<int, 2> cells_for_spot(const Level& fine, double spot_radius) {
    constexpr double most = 240.0;
    const double finer = std::max(1.0, 2.0 * std::max(fine.grid.dx, fine.grid.dy) / spot_radius);
    const double factor = std::min(finer, std::max(1.0, most / std::max(fine.cells_x, fine.cells_y)));
    return {static_cast<int>(std::ceil(fine.cells_x * factor)), static_cast<int>(std::ceil(fine.cells_y * factor))};
}

void warn_off_film(Warnings& warnings) {
    warnings.push_back({"spot-off-film", "the readout spot does not touch the film; it has no static stiffness there"});
}

}  // namespace

SparseMatrix static_stiffness(const Level& level) {
    // A large resolved level keeps no matrix.
    return level.holes_resolved ? corner_tension_matrix(level.grid, level.corners)
                                : SparseMatrix(level.pull + level.bend);
}

Vector pressure_load(const Level& level, const PaintedFilm& film) {
    const double cell = level.grid.dx * level.grid.dy;
    if (level.holes_resolved) return mass_vector(level.grid, level.map.film);
    Vector load = area_vector(level.grid);
    if (!film.cell) return load;
    std::vector<double> solid = level.map.field;
    for (double& s : solid) s = 1.0 - s * film.cell->open_fraction;
    return load.cwiseProduct(mass_vector(level.grid, solid)) / cell;
}

Vector wetted_area(const Level& level, double outline_area) {
    if (!level.holes_resolved) return area_vector(level.grid);
    Vector film = mass_vector(level.grid, level.map.film);
    return film * (outline_area / film.sum());
}

void add_static_answers(const Device& device, const FilmOnOutline& laid, const Level& fine, RimTreatment rim,
                        EffectiveFilm& film, Warnings& warnings) {
    const SparseMatrix stiffness = static_stiffness(fine);
    Eigen::MatrixXd loads(stiffness.rows(), device.readout ? 2 : 1);
    loads.col(0) = pressure_load(fine, laid.film);
    const double solid = laid.film.density * laid.film.thickness;
    if (device.readout) loads.col(1) = spot_load(fine, *device.readout, solid);
    const Mirrors images = mirrors(fine.grid);
    const Eigen::MatrixXd sag = solve_static(stiffness, loads, {images.in_x, images.in_y});
    film.deflection_per_pressure_m_per_pa = film_top(fine, sag.col(0));
    if (!device.readout) return;
    const double radius = device.readout->spot_radius.si();
    double compliance = loads.col(1).dot(sag.col(1));
    double spacing = std::max(fine.grid.dx, fine.grid.dy);
    if (spacing > 0.5 * radius && !fine.holes_resolved) {
        const auto cells = cells_for_spot(fine, radius);
        const Level finer = solve_level({device.outline, laid.film, 2, 1.0}, cells[0], cells[1], rim);
        const Vector load = spot_load(finer, *device.readout, solid);
        const Mirrors folds = mirrors(finer.grid);
        compliance = load.dot(solve_static(finer.pull + finer.bend, load, {folds.in_x, folds.in_y}).col(0));
        spacing = std::max(finer.grid.dx, finer.grid.dy);
    }
    if (!(compliance > 0.0)) return warn_off_film(warnings);
    if (spacing > 0.75 * radius)
        warnings.push_back({"spot-below-grid",
                            "the readout spot is smaller than the finest grid's cells; the static "
                            "stiffness under it is too high by a few per cent"});
    film.static_stiffness_n_per_m = 1.0 / compliance;
}

void add_static_answers(const Device& device, const CutFilmStress& found, EffectiveFilm& film, Warnings& warnings) {
    film.deflection_per_pressure_m_per_pa = found.sag;
    film.deflection_per_pressure_error_m_per_pa = found.sag_error;
    if (!device.readout) return;
    if (!(found.spot > 0.0)) return warn_off_film(warnings);
    film.static_stiffness_n_per_m = 1.0 / found.spot;
    film.static_stiffness_error_n_per_m = found.spot_error / (found.spot * found.spot);
}

}  // namespace tymbal

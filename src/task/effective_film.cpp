#include "tymbal/task/effective_film.h"

#include "tymbal/base/error.h"
#include "tymbal/geometry/overlap.h"
#include "tymbal/grid/eigenpairs.h"

#include <Eigen/Dense>

#include <algorithm>
#include <cmath>
#include <limits>
#include <utility>

namespace tymbal {

namespace {

/// Tension that is left in a hole field, from the Hashin-Shtrikman bound (Hashin, J. Mech. Phys. Solids 13, 119 (1965),
/// from memory, re-derived): only the ratio of edge layer to pitch hangs on it.
double relaxed_share(double open_fraction, double nu) {
    return (1.0 - open_fraction) / (1.0 + open_fraction * (1.0 + nu) / (1.0 - nu));
}

double mean_over(const TensionField& field, const std::vector<double>& weight, std::size_t component) {
    double sum = 0.0, total = 0.0;
    for (std::size_t c = 0; c < weight.size(); ++c) {
        if (!field.known[c]) continue;
        sum += weight[c] * field.tension[c][component];
        total += weight[c];
    }
    return sum / total;
}

double von_mises(const std::array<double, 3>& s) {
    return std::sqrt(s[0] * s[0] - s[0] * s[1] + s[1] * s[1] + 3.0 * s[2] * s[2]);
}

/// A symmetric tensor (xx, yy, xy) in axes turned by `angle`.
std::array<double, 3> in_turned_axes(const std::array<double, 3>& t, double angle) {
    const double c = std::cos(angle), s = std::sin(angle);
    return {c * c * t[0] + s * s * t[1] + 2.0 * c * s * t[2], s * s * t[0] + c * c * t[1] - 2.0 * c * s * t[2],
            c * s * (t[1] - t[0]) + (c * c - s * s) * t[2]};
}

double edge_peak(const PaintedFilm& film, const std::array<double, 3>& mean) {
    double peak = 0.0;
    const auto turned = in_turned_axes(mean, film.angle_rad);
    for (const Voigt3& row : film.cell->edge_stress)
        peak = std::max(peak, std::abs(row[0] * turned[0] + row[1] * turned[1] + row[2] * turned[2]));
    return peak;
}

/// The relaxed film on a grid fine enough for its largest stress, which sits where the hole field ends: frequencies may
/// have been content with fewer cells.
struct Relaxed {
    FilmMap map;
    TensionField tension;
};

Relaxed relaxed_finely(const Outline& outline, const PaintedFilm& film, const Level& fine) {
    constexpr int least_cells = 48;
    const int most = std::max(fine.cells_x, fine.cells_y);
    if (!film.cell || most >= least_cells) return {fine.tension_map, fine.tension};
    const int factor = (least_cells + most - 1) / most;
    const Grid grid = make_grid(boundary(outline), factor * fine.cells_x, factor * fine.cells_y);
    FilmMap map = paint(film, grid, FieldBending::tension_driven);
    TensionField tension = relax(film, grid, map);
    return {std::move(map), std::move(tension)};
}

/// Stress of the film itself in a cell that may carry a patch: deposited, and what its strain adds.
std::array<double, 3> film_below(const PaintedFilm& film, const Relaxed& level, std::size_t c) {
    Eigen::Matrix3d stiffness;
    for (int r = 0; r < 3; ++r)
        for (int k = 0; k < 3; ++k)
            stiffness(r, k) = level.map.in_plane[c][static_cast<std::size_t>(r)][static_cast<std::size_t>(k)];
    Eigen::Vector3d added;
    for (int r = 0; r < 3; ++r)
        added[r] =
            level.tension.tension[c][static_cast<std::size_t>(r)] - level.map.pull[c][static_cast<std::size_t>(r)];
    const Eigen::Vector3d strain = stiffness.inverse() * added;
    const double nu = film.poisson_ratio, plane = film.modulus / (1.0 - nu * nu);
    return {film.stress + plane * (strain[0] + nu * strain[1]), film.stress + plane * (strain[1] + nu * strain[0]),
            0.5 * plane * (1.0 - nu) * strain[2]};
}

/// Largest stress anywhere: at the edges of the holes in cells that are field throughout (in mixed cells the mean
/// tension is not that of the holes), von Mises in solid cells.
double peak_stress(const PaintedFilm& film, const Relaxed& level) {
    const TensionField& field = level.tension;
    const std::vector<double>& share = level.map.field;
    const double fullest = share.empty() ? 0.0 : *std::max_element(share.begin(), share.end());
    double peak = 0.0;
    for (std::size_t c = 0; c < field.tension.size(); ++c) {
        if (!field.known[c]) continue;
        std::array<double, 3> mean = field.tension[c];
        for (double& m : mean) m /= film.thickness;
        if (!film.patches.empty()) mean = film_below(film, level, c);
        if (!film.cell || share[c] == 0.0) peak = std::max(peak, von_mises(mean));
        if (film.cell && share[c] >= std::min(0.999, fullest)) peak = std::max(peak, edge_peak(film, mean));
    }
    return peak;
}

Eigen::Matrix3d compliance(const Voigt& stiffness) {
    Eigen::Matrix3d c;
    for (int r = 0; r < 3; ++r)
        for (int k = 0; k < 3; ++k) c(r, k) = stiffness[static_cast<std::size_t>(r)][static_cast<std::size_t>(k)];
    return c.inverse();
}

void add_constants(const PaintedFilm& film, EffectiveFilm& out) {
    out.youngs_modulus_effective_pa = film.modulus;
    out.poisson_ratio_effective = film.poisson_ratio;
    out.shear_modulus_effective_pa = 0.5 * film.modulus / (1.0 + film.poisson_ratio);
    out.bending_stiffness_n_m = film.bending();
    if (!film.cell) return;
    const Eigen::Matrix3d s = compliance(film.cell->stiffness);
    out.youngs_modulus_effective_pa = film.modulus / s(0, 0);
    out.poisson_ratio_effective = -s(0, 1) / s(0, 0);
    out.shear_modulus_effective_pa = film.modulus / s(2, 2);
    out.bending_stiffness_n_m = film.bending() * film.cell->bending[0][0];
}

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

/// Cells across the box that put at least two on the spot's radius, as far as that is affordable.
std::array<int, 2> cells_for_spot(const Level& fine, double spot_radius) {
    constexpr double most = 240.0;
    const double finer = std::max(1.0, 2.0 * std::max(fine.grid.dx, fine.grid.dy) / spot_radius);
    const double factor = std::min(finer, std::max(1.0, most / std::max(fine.cells_x, fine.cells_y)));
    return {static_cast<int>(std::ceil(fine.cells_x * factor)), static_cast<int>(std::ceil(fine.cells_y * factor))};
}

}  // namespace

std::vector<Hole> place(const HolePattern& holes, const Outline& outline) {
    return std::holds_alternative<Released>(outline) ? place_holes(holes) : place_holes(holes, boundary(outline));
}

PlacedHoles holes_in_place(const Design& design) {
    return placed(*design.holes, place(*design.holes, design.outline));
}

CellProblem cell_problem(const Film& film, const HolePattern& holes, double accuracy) {
    const double pitch = holes.pitch.si();
    const double size = holes.size.si() / pitch;
    const double open = hole_area(holes.shape, size) / cell_area(holes.lattice);
    const double nu = film.poisson_ratio.si();
    const double tension = tension_n_per_m(film) * relaxed_share(open, nu);
    const double layer = tension > 0.0 ? std::sqrt(bending_stiffness_n_m(film) / tension) / pitch
                                       : std::numeric_limits<double>::infinity();
    return {holes.lattice, holes.shape, size, nu, layer, accuracy};
}

FilmOnOutline lay_out(const Design& design, const CellSolver& cells) {
    const Film& film = design.film;
    const std::optional<HolePattern>& holes = design.holes;
    const Boundary rim = boundary(design.outline);
    FilmOnOutline laid;
    laid.film = {film.thickness.si(),
                 film.youngs_modulus.si(),
                 film.poisson_ratio.si(),
                 film.stress.si(),
                 film.density.si(),
                 {},
                 0.0,
                 {}};
    laid.outline_area = area(rim);
    for (const FilmPatch& p : design.patches)
        laid.film.patches.push_back({p.area, p.film.thickness.si(), p.film.youngs_modulus.si(),
                                     p.film.poisson_ratio.si(), p.film.stress.si(), p.film.density.si()});
    if (!holes) return laid;
    if (holes->lattice == Lattice::list)
        throw NoAnswer(
            "the averaged model needs a lattice and the design lists single holes; the model that resolves every "
            "hole is not part of this version");
    laid.holes = place(*holes, design.outline);
    laid.film.cell = cells(cell_problem(film, *holes, design.solve.accuracy));
    laid.film.angle_rad = holes->angle_rad;
    for (const Hole& hole : laid.holes) laid.film.field.push_back(own_cell(*holes, hole));
    const double pitch = holes->pitch.si();
    laid.hole_area =
        static_cast<double>(laid.holes.size()) * hole_area(holes->shape, holes->size.si() / pitch) * pitch * pitch;
    return laid;
}

EffectiveFilm effective_film(const Design& design, const FilmOnOutline& laid, const Level& fine) {
    const PaintedFilm& film = laid.film;
    const std::vector<double> inside = covered(boundary(design.outline), fine.tension.grid);
    std::vector<double> field = inside;
    if (film.cell)
        for (std::size_t c = 0; c < field.size(); ++c) field[c] = fine.tension_map.field[c];
    EffectiveFilm out;
    if (film.cell) out.fill_factor = film.cell->open_fraction;
    out.hole_count = static_cast<long>(laid.holes.size());
    out.outline_area_m2 = laid.outline_area;
    out.stress_as_deposited_pa = film.stress;
    const double mean_tension = 0.5 * (mean_over(fine.tension, inside, 0) + mean_over(fine.tension, inside, 1));
    out.stress_relaxed_mean_pa =
        mean_tension / film.thickness * laid.outline_area / (laid.outline_area - laid.hole_area);
    out.stress_peak_von_mises_pa = peak_stress(film, relaxed_finely(design.outline, film, fine));
    out.stress_peak_error_pa = film.cell ? film.cell->edge_stress_error * out.stress_peak_von_mises_pa : 0.0;
    out.tension_x_n_per_m = mean_over(fine.tension, field, 0);
    out.tension_y_n_per_m = mean_over(fine.tension, field, 1);
    out.areal_density_kg_per_m2 = film.density * film.thickness * (1.0 - out.fill_factor.value_or(0.0));
    out.mass_kg = film.density * film.thickness * (laid.outline_area - laid.hole_area);
    for (const PaintedPatch& p : film.patches)
        out.mass_kg += (p.density * p.thickness - film.density * film.thickness) * polygon_area(p.area);
    out.fracture_margin = design.film.strength.si() / out.stress_peak_von_mises_pa;
    const double rim = rim_tension(fine.tension);
    out.edge_layer_m = rim > 0.0 ? std::sqrt(film.bending() / rim) : std::numeric_limits<double>::infinity();
    add_constants(film, out);
    return out;
}

void add_static_answers(const Design& design, const FilmOnOutline& laid, const Level& fine, RimTreatment rim,
                        EffectiveFilm& film, Warnings& warnings) {
    const SparseMatrix stiffness = fine.pull + fine.bend;
    Eigen::MatrixXd loads(stiffness.rows(), design.readout ? 2 : 1);
    loads.col(0) = area_vector(fine.grid);
    if (design.readout) loads.col(1) = spot_load(fine.grid, *design.readout);
    const Mirrors images = mirrors(fine.grid);
    const Eigen::MatrixXd sag = solve_static(stiffness, loads, {images.in_x, images.in_y});
    film.deflection_per_pressure_m_per_pa = sag.col(0).maxCoeff();
    if (!design.readout) return;
    const double radius = design.readout->spot_radius.si();
    double compliance = loads.col(1).dot(sag.col(1));
    double spacing = std::max(fine.grid.dx, fine.grid.dy);
    if (spacing > 0.5 * radius) {
        const auto cells = cells_for_spot(fine, radius);
        const Level finer = solve_level({design.outline, laid.film, 2, 1.0}, cells[0], cells[1], rim);
        const Vector load = spot_load(finer.grid, *design.readout);
        compliance = load.dot(solve_static(finer.pull + finer.bend, load).col(0));
        spacing = std::max(finer.grid.dx, finer.grid.dy);
    }
    if (!(compliance > 0.0)) {
        warnings.push_back(
            {"spot-off-film", "the readout spot does not touch the film; it has no static stiffness there"});
        return;
    }
    if (spacing > 0.75 * radius)
        warnings.push_back({"spot-below-grid",
                            "the readout spot is smaller than the finest grid's cells; the static "
                            "stiffness under it is too high by a few per cent"});
    film.static_stiffness_n_per_m = 1.0 / compliance;
}

}  // namespace tymbal

#include "tymbal/task/effective_film.h"

#include "tymbal/base/error.h"
#include "tymbal/geometry/openings.h"
#include "tymbal/geometry/overlap.h"
#include "tymbal/geometry/strip.h"
#include "tymbal/grid/eigenpairs.h"
#include "tymbal/grid/open_share.h"
#include "tymbal/modes/film_top.h"
#include "tymbal/task/stress_map.h"

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

/// Mean of tension components xx and yy over the grid's cells, known or copied from their neighbours.
std::array<double, 2> mean_over(const TensionField& field, const std::vector<double>& weight) {
    std::array<double, 2> sum{};
    double total = 0.0;
    for (std::size_t c = 0; c < weight.size(); ++c) {
        if (!field.known[c]) continue;
        for (std::size_t k = 0; k < 2; ++k) sum[k] += weight[c] * field.tension[c][k];
        total += weight[c];
    }
    return {sum[0] / total, sum[1] / total};
}

/// Mean over the outline where holes are on the grid: what the film's corners carry, nothing where it is open.
std::array<double, 2> mean_of_film(const Level& level, double outline_area) {
    std::array<double, 2> sum{};
    for (std::size_t c = 0; c < level.corners.size(); ++c) {
        const Node& node = level.grid.nodes[c / 4];
        const Arm &x = node.arms[c % 4 / 2], &y = node.arms[2 + c % 2];
        sum[0] += level.corners[c][0] * x.own_length() * 0.5 * level.grid.dy;
        sum[1] += level.corners[c][1] * y.own_length() * 0.5 * level.grid.dx;
    }
    return {sum[0] / outline_area, sum[1] / outline_area};
}

/// Gradients fitted near a free edge scatter by about this much (the disc with a hole in tests/modes).
constexpr double peak_scatter = 0.02;

/// What a lattice's average cannot see of a design with holes or openings; null: nothing.
const char* no_average(const Device& device) {
    constexpr std::size_t few_holes = 16;
    if (std::holds_alternative<Strip>(device.outline)) return "the strip's long sides are free";
    if (!device.openings.empty()) return "single openings cannot be averaged over a lattice";
    if (device.holes->lattice == Lattice::list) return "single holes have no lattice to average over";
    if (!device.holes->omit.empty()) return "omitted lattice sites may hold modes of their own";
    if (place(*device.holes, device.outline).size() < few_holes) return "so few holes are no average of a lattice";
    return nullptr;
}

/// Every hole and opening as a figure of its own; the lattice's cell only for the constants that are asked of it.
void open_up(const Device& device, const Boundary& rim, const CellSolver& cells, FilmOnOutline& laid) {
    constexpr std::size_t most_holes = 100'000;  // three cells across each are millions of unknowns
    if (laid.holes.size() > most_holes)
        throw NoAnswer("more than " + std::to_string(most_holes) +
                       " holes cannot be resolved one by one; give them as a lattice and set solve.model to "
                       "\"averaged\"");
    std::vector<Figure> single;
    double narrowest = std::numeric_limits<double>::infinity();
    if (device.holes) {
        const HolePattern& holes = *device.holes;
        laid.film.openings = figures(placed(holes, laid.holes));
        narrowest = holes.size.si();
        if (holes.lattice == Lattice::list) {
            single = laid.film.openings;
        } else {
            narrowest = std::min(narrowest, holes.pitch.si() - holes.size.si());
            laid.cell = cells(cell_problem(device.film, holes, 1e-2));
        }
    }
    for (const Opening& opening : device.openings) {
        laid.film.openings.push_back(opening.figure);
        narrowest = std::min(narrowest, opening.narrowest);
    }
    if (!device.openings.empty()) single = laid.film.openings;
    laid.film.narrowest = std::min(narrowest, narrowest_film(single, rim));
    if (const auto* strip = std::get_if<Strip>(&device.outline)) {
        for (const Figure& side : free_sides(*strip)) laid.film.openings.push_back(side);
        laid.film.narrowest = std::min(laid.film.narrowest, strip->width.si());
    }
    // Area by the shares of a grid, exact up to rounding but in cells that a rim and a figure both cut. There are none
    // where film of two cells stands between them, for which 400 cells across must do.
    const Box box = bounding_box(rim);
    const auto across = [&](double length) {
        return std::clamp(static_cast<int>(2.0 * length / laid.film.narrowest), 64, 400);
    };
    const Grid grid = make_grid(rim, across(box.high.x - box.low.x), across(box.high.y - box.low.y));
    const std::vector<double> inside = covered(rim, grid), open = open_share(laid.film.openings, grid);
    for (std::size_t c = 0; c < open.size(); ++c) laid.hole_area += inside[c] * open[c] * grid.dx * grid.dy;
}

void add_peak(const Device& device, const PaintedFilm& film, const Level& fine, EffectiveFilm& out) {
    const StressMap map = stress_map(device.outline, film, fine);
    out.stress_peak_von_mises_pa = map.peak_pa;
    out.stress_peak_error_pa = fine.holes_resolved ? peak_scatter * map.peak_pa : map.peak_error_pa;
    out.fracture_margin = device.film.strength.si() / map.peak_pa;
}

Eigen::Matrix3d compliance(const Voigt& stiffness) {
    Eigen::Matrix3d c;
    for (int r = 0; r < 3; ++r)
        for (int k = 0; k < 3; ++k) c(r, k) = stiffness[static_cast<std::size_t>(r)][static_cast<std::size_t>(k)];
    return c.inverse();
}

void add_constants(const PaintedFilm& film, const std::optional<CellFilm>& cell, EffectiveFilm& out) {
    out.youngs_modulus_effective_pa = film.modulus;
    out.poisson_ratio_effective = film.poisson_ratio;
    out.shear_modulus_effective_pa = 0.5 * film.modulus / (1.0 + film.poisson_ratio);
    out.bending_stiffness_n_m = film.bending();
    if (!cell) return;
    const Eigen::Matrix3d s = compliance(cell->stiffness);
    out.youngs_modulus_effective_pa = film.modulus / s(0, 0);
    out.poisson_ratio_effective = -s(0, 1) / s(0, 0);
    out.shear_modulus_effective_pa = film.modulus / s(2, 2);
    out.bending_stiffness_n_m = film.bending() * cell->bending[0][0];
}

}  // namespace

std::vector<Hole> place(const HolePattern& holes, const Outline& outline) {
    return std::holds_alternative<Released>(outline) ? place_holes(holes) : place_holes(holes, boundary(outline));
}

PlacedHoles holes_in_place(const Device& device) {
    return placed(*device.holes, place(*device.holes, device.outline));
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

void take_grids_stress(const ModeSet& set, EffectiveFilm& film) {
    if (!set.cut_stress) {
        const double now = set.fine.peak.von_mises;
        film.stress_peak_error_pa = 2.0 * std::abs(now - set.peak_before.von_mises) + peak_scatter * now;
        return;
    }
    // One film, one balance: the level's tension follows the mean that the better grids found.
    const double better = set.cut_stress->mean / film.stress_relaxed_mean_pa;
    film.stress_relaxed_mean_pa = set.cut_stress->mean;
    film.tension_x_n_per_m *= better;
    film.tension_y_n_per_m *= better;
    film.stress_peak_error_pa = set.cut_stress->peak_error;
}

std::optional<double> open_fraction(const FilmOnOutline& laid) {
    const std::optional<CellFilm>& cell = laid.film.cell ? laid.film.cell : laid.cell;
    return cell ? std::optional<double>(cell->open_fraction) : std::nullopt;
}

ModelChoice choose_model(const Device& device) {
    constexpr std::size_t most_front_holes = 400;  // some seconds
    const std::optional<HolePattern>& holes = device.holes;
    if (device.solve.model == Model::averaged && holes && holes->lattice == Lattice::list)
        throw NoAnswer(
            "the averaged model needs a lattice and the design lists single holes; set solve.model to "
            "\"resolved\" or \"auto\"");
    if (device.solve.model == Model::averaged && !device.openings.empty())
        throw NoAnswer("the averaged model does not see [[openings]]; set solve.model to \"resolved\" or \"auto\"");
    const bool strip = std::holds_alternative<Strip>(device.outline);
    if (device.solve.model == Model::averaged && strip)
        throw NoAnswer(
            "the averaged model does not see a strip's free sides; set solve.model to \"resolved\" or "
            "\"auto\"");
    if (!holes && device.openings.empty() && !strip) return {false, "the film has no holes"};
    if (device.solve.model == Model::averaged) return {false, "as solve.model sets it"};
    if (device.solve.model == Model::resolved) return {true, "as solve.model sets it"};
    if (const char* why = no_average(device)) return {true, why};
    if (std::holds_alternative<Released>(device.outline) && place(*holes, device.outline).size() <= most_front_holes)
        return {true, "the etch front follows each of its holes"};
    return {false, "the holes form a lattice, averaged over its cell"};
}

Model coarse_model(const Device& device) {
    const bool may_be_averaged =
        device.holes && device.solve.model == Model::automatic && no_average(device) == nullptr;
    return may_be_averaged ? Model::averaged : device.solve.model;
}

FilmOnOutline lay_out_coarsely(const Device& device, const CellSolver& cells) {
    Device coarse = device;
    coarse.solve.model = coarse_model(device);
    return lay_out(coarse, cells);
}

FilmOnOutline lay_out(const Device& device, const CellSolver& cells) {
    const bool resolved = choose_model(device).resolved;
    const Film& film = device.film;
    const std::optional<HolePattern>& holes = device.holes;
    const Boundary rim = boundary(device.outline);
    FilmOnOutline laid;
    laid.film = {film.thickness.si(),
                 film.youngs_modulus.si(),
                 film.poisson_ratio.si(),
                 film.stress.si(),
                 film.density.si(),
                 {},
                 0.0,
                 {},
                 {},
                 0.0};
    laid.outline_area = area(rim);
    for (const FilmPatch& p : device.patches)
        laid.film.patches.push_back({p.area, p.film.thickness.si(), p.film.youngs_modulus.si(),
                                     p.film.poisson_ratio.si(), p.film.stress.si(), p.film.density.si()});
    if (holes) laid.holes = place(*holes, device.outline);
    if (resolved) open_up(device, rim, cells, laid);
    if (resolved || !holes) return laid;
    laid.film.cell = cells(cell_problem(film, *holes, device.solve.accuracy));
    laid.film.angle_rad = holes->angle_rad;
    for (const Hole& hole : laid.holes) laid.film.field.push_back(own_cell(*holes, hole));
    const double pitch = holes->pitch.si();
    laid.hole_area =
        static_cast<double>(laid.holes.size()) * hole_area(holes->shape, holes->size.si() / pitch) * pitch * pitch;
    return laid;
}

double suspended_mass(const FilmOnOutline& laid) {
    const PaintedFilm& film = laid.film;
    double mass = film.density * film.thickness * (laid.outline_area - laid.hole_area);
    for (const PaintedPatch& p : film.patches)
        mass += (p.density * p.thickness - film.density * film.thickness) * polygon_area(p.area);
    return mass;
}

EffectiveFilm effective_film(const Device& device, const FilmOnOutline& laid, const Level& fine) {
    const PaintedFilm& film = laid.film;
    const std::optional<CellFilm>& cell = film.cell ? film.cell : laid.cell;
    const std::vector<double> inside = covered(boundary(device.outline), fine.tension.grid);
    std::vector<double> field = inside;
    if (film.cell)
        for (std::size_t c = 0; c < field.size(); ++c) field[c] = fine.tension_map().field[c];
    EffectiveFilm out;
    out.fill_factor = open_fraction(laid);
    out.hole_count = static_cast<long>(laid.holes.size());
    out.outline_area_m2 = laid.outline_area;
    out.stress_as_deposited_pa = film.stress;
    const bool resolved = fine.holes_resolved;
    const double film_area = laid.outline_area - laid.hole_area;
    const auto whole = resolved ? mean_of_film(fine, laid.outline_area) : mean_over(fine.tension, inside);
    out.stress_relaxed_mean_pa = 0.5 * (whole[0] + whole[1]) / film.thickness * laid.outline_area / film_area;
    add_peak(device, film, fine, out);
    const auto tension = resolved ? whole : mean_over(fine.tension, field);
    out.tension_x_n_per_m = tension[0];
    out.tension_y_n_per_m = tension[1];
    const double solid = resolved ? film_area / laid.outline_area : 1.0 - out.fill_factor.value_or(0.0);
    out.areal_density_kg_per_m2 = film.density * film.thickness * solid;
    out.mass_kg = suspended_mass(laid);
    const double rim = rim_tension(fine.tension);
    out.edge_layer_m = rim > 0.0 ? std::sqrt(film.bending() / rim) : std::numeric_limits<double>::infinity();
    add_constants(film, cell, out);
    return out;
}

}  // namespace tymbal

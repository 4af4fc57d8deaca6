#include "tymbal/task/laid_film.h"

#include "tymbal/base/error.h"
#include "tymbal/geometry/openings.h"
#include "tymbal/geometry/overlap.h"
#include "tymbal/geometry/strip.h"
#include "tymbal/grid/open_share.h"

#include "holes_in_place.h"
#include "model_choice.h"

#include <algorithm>
#include <limits>

namespace tymbal {

namespace {

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

}  // namespace

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

std::optional<double> open_fraction(const FilmOnOutline& laid) {
    const std::optional<CellFilm>& cell = laid.film.cell ? laid.film.cell : laid.cell;
    return cell ? std::optional<double>(cell->open_fraction) : std::nullopt;
}

}  // namespace tymbal

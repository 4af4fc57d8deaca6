#include "cut_film.h"

#include "tymbal/base/constants.h"
#include "tymbal/base/error.h"
#include "tymbal/modes/film_top.h"
#include "tymbal/modes/labels.h"

#include "../base/plain.h"
#include "../spline/film_modes.h"
#include "../spline/shapes.h"
#include "bending_band.h"
#include "grid_ladder.h"
#include "open_film.h"
#include "partners.h"
#include "shape_raster.h"
#include "solve_memory.h"

#include <algorithm>
#include <cmath>
#include <cstdint>
#include <string>
#include <utility>

namespace tymbal {

namespace {

constexpr double pi = constants::pi;
constexpr double most_unknowns = 150'000;      // on the third grid: some 20 s
constexpr int most_ragged = 50'000;            // etch fronts: their cusps yield slowly, more hardly help
constexpr std::size_t most_openings = 20'000;  // beyond which counting the unknowns is not worth its time
constexpr std::size_t picture_grid = 2;        // of the ladder: pictures and stress maps come from it
constexpr double most_picture_cells = 400'000;
constexpr double rough_share = 0.5;  // of the bending, in doubt: an order of magnitude

spline::FilmProblem spline_problem(const ModeProblem& problem) {
    const PaintedFilm& film = problem.film;
    spline::FilmProblem out;
    out.rim = boundary(problem.outline);
    out.openings = film.openings;
    out.sheet = {film.modulus * film.thickness, film.poisson_ratio, film.bending(), film.density * film.thickness,
                 film.stress * film.thickness};
    out.narrowest = film.narrowest;
    out.count = problem.count;
    out.accuracy = problem.accuracy;
    if (std::holds_alternative<Released>(problem.outline)) out.most_unknowns = most_ragged;
    return out;
}

/// Shapes of the splines at a level's nodes, w' M w = 1 there.
void take_shapes(const spline::FilmModes& found, Level& level) {
    std::vector<Point> nodes;
    for (const Node& n : level.grid.nodes) nodes.push_back(level.grid.place(n));
    level.shapes = spline::shapes_at(found.grid.cells, found.grid.space, found.grid.vectors, nodes);
    level.values = found.squares.back();
    for (Eigen::Index k = 0; k < level.shapes.cols(); ++k)
        level.shapes.col(k) /= std::sqrt(level.shapes.col(k).dot(level.mass.cwiseProduct(level.shapes.col(k))));
}

CutFilmStress stress_of(const spline::FilmModes& found, double thickness) {
    return {found.mean_tension.value / thickness,
            found.mean_tension.error / thickness,
            {found.peak.value / thickness, found.grid.peak_at},
            found.peak.error / thickness};
}

/// Part of a mode's bending energy that the clamped layer at the rim has, by what the level makes of the two.
double rim_part(const Level& level, Eigen::Index k) {
    const double edge = 0.5 * level.layers[static_cast<std::size_t>(k)].energy, interior = level.interior[k];
    return edge + interior > 0.0 ? edge / (edge + interior) : 0.0;
}

void add_bending(const spline::Bounded& share, double at_rim, ModeIntegrals& out) {
    out.bending_edge = share.value * at_rim * out.stiffness;
    out.bending_interior = share.value * (1.0 - at_rim) * out.stiffness;
    out.bending_low = std::max(share.value - share.error, 0.1 * share.value) * out.stiffness;
    out.bending_high = (share.value + share.error) * out.stiffness;
    out.bending_rough = share.error > rough_share * share.value;
}

Mode describe(const spline::FilmMode& found, const Level& level, Eigen::Index k) {
    Mode mode;
    mode.index = static_cast<int>(k) + 1;
    mode.frequency_hz = std::sqrt(found.square.value) / (2.0 * pi);
    mode.discretisation_error_hz = 0.5 * found.square.error / found.square.value * mode.frequency_hz;
    ModeIntegrals& i = mode.integrals;
    i.mass = found.mass.value;
    i.mass_error = found.mass.error;
    i.stiffness = found.square.value * i.mass;
    const double top = std::copysign(1.0 / std::sqrt(i.mass), film_top(level, level.shapes.col(k)));
    i.net_mass = level.mass.dot(level.shapes.col(k)) / top;
    add_bending(found.bending_share, rim_part(level, k), i);
    return mode;
}

/// By dimensions: lambda is linear in stress and modulus together, and R_b is the share of the modulus. What two sides
/// of a rectangle share is theirs as the level sees it, and adds up.
std::vector<Sensitivity> exact_parts(std::vector<Sensitivity> all, const spline::FilmModes& found, const Level& level,
                                     const PaintedFilm& film) {
    const double rim = rim_tension(level.tension), layer = rim > 0.0 ? std::sqrt(film.bending() / rim) : 0.0;
    for (std::size_t k = 0; k < found.modes.size(); ++k) {
        Sensitivity& s = all[k];
        const double bend = found.modes[k].bending_share.value, nu = film.poisson_ratio;
        s.stress = 1.0 - bend;
        s.modulus = bend;
        s.poisson_ratio = bend * 2.0 * nu * nu / (1.0 - nu * nu);
        s.thickness = 2.0 * bend;
        s.density = -1.0;
        s.scale = -2.0 - 2.0 * bend;
        const double missing = s.scale - s.width - s.height;
        s.width += 0.5 * missing;
        s.height += 0.5 * missing;
        // Hadamard's formula: the layer's energy is that of a rim one layer further out.
        if (layer > 0.0) s.rim = -2.0 * bend * rim_part(level, static_cast<Eigen::Index>(k)) / layer;
    }
    return all;
}

void warn(const spline::FilmModes& found, const ModeProblem& problem, ModeSet& set) {
    double loose = 0.0;
    for (const spline::Loose& l : found.loose) loose += l.area;
    if (loose > 0.0) {
        const Point at = found.loose.front().at;
        set.warnings.push_back({"loose-film", "openings cut " + plain(1e12 * loose, 3) +
                                                  " um^2 of film off from the rim; it is left out (at (" +
                                                  plain(1e6 * at.x, 4) + ", " + plain(1e6 * at.y, 4) + ") um" +
                                                  (found.loose.size() > 1 ? " and elsewhere)" : ")")});
    }
    double worst = 0.0;
    for (const Mode& m : set.modes) worst = std::max(worst, m.discretisation_error_hz / m.frequency_hz);
    if (worst > problem.accuracy)
        set.warnings.push_back(
            {"accuracy-not-reached", "the grids reach a relative error of " + plain(worst, 2) + " at " +
                                         std::to_string(found.unknowns) +
                                         " unknowns, above the accuracy asked for; the error of each mode is given"});
}

/// The first grids must fit in memory; finer ones are solved as long as they do.
spline::FilmModes solve_in_memory(const ModeProblem& problem) {
    spline::FilmProblem cut = spline_problem(problem);
    const double needed = spline::needed_unknowns(cut);
    require_bytes(problem.effort, static_cast<std::size_t>(spline::held_bytes(needed)));
    const auto limit = static_cast<double>(memory_limit(problem.effort));
    while (cut.most_unknowns > 2.0 * needed && spline::held_bytes(cut.most_unknowns) > limit) cut.most_unknowns /= 2;
    cut.most_unknowns = std::max(cut.most_unknowns, static_cast<int>(1.3 * needed));
    return film_modes(cut, problem.effort);
}

}  // namespace

bool cut_film_served(const ModeProblem& problem) {
    const PaintedFilm& film = problem.film;
    if (film.openings.empty() || film.openings.size() > most_openings || film.stress <= 0.0) return false;
    const spline::FilmProblem cut = spline_problem(problem);
    return spline::needed_unknowns(cut) <= std::min<double>(most_unknowns, cut.most_unknowns);
}

ModeSet cut_film_modes(const ModeProblem& problem) {
    const GridLadder grids = choose_grids(problem);
    require_affordable(problem, grids, 0);
    const spline::FilmModes found = solve_in_memory(problem);
    ModeSet set;
    set.rim = grids.rim;
    set.cut_stress = stress_of(found, problem.film.thickness);
    const auto level_on = [&](std::size_t g) {
        Level level = lay_open_film(problem, grids.cells(g)[0], grids.cells(g)[1]).level;
        take_shapes(found, level);
        add_open_bending(problem, level);
        level.peak = set.cut_stress->peak;
        return level;
    };
    set.coarse = level_on(0);
    std::size_t finer = picture_grid;
    while (finer > 0 && grids.all_cells(finer) > most_picture_cells) --finer;
    set.fine = finer > 0 ? level_on(finer) : set.coarse;
    const Level& level = set.fine;
    const auto labels = label_modes(problem.outline, level.grid, level.mass, level.shapes, problem.effort.cores());
    const std::vector<bool> open = open_points(problem.outline, level);
    for (int k = 0; k < problem.count; ++k) {
        const auto n = static_cast<std::size_t>(k);
        Mode mode = describe(found.modes[n], level, k);
        mode.label = labels[n];
        mode.shape = shape_raster(
            level.grid, level.shapes.col(k),
            std::copysign(1.0 / std::sqrt(mode.integrals.mass), film_top(level, level.shapes.col(k))), open);
        set.modes.push_back(std::move(mode));
    }
    name_partners(set.modes);
    set.sensitivities = exact_parts(sensitivities(set.coarse, problem, set.rim), found, set.coarse, problem.film);
    set.spacing = found.spacing;
    set.unknowns = found.unknowns;
    for (const spline::Vector& row : found.squares) {
        std::vector<double> hz;
        for (const double square : row) hz.push_back(std::sqrt(square) / (2.0 * pi));
        set.frequencies.push_back(std::move(hz));
    }
    warn(found, problem, set);
    warn_of_bending(set);
    return set;
}

std::vector<double> cut_film_squares(const ModeProblem& problem) {
    const spline::Vector squares = spline::middling_squares(spline_problem(problem));
    return {squares.begin(), squares.begin() + problem.count};
}

}  // namespace tymbal

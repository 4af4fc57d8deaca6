#include "cut_film.h"

#include "tymbal/base/constants.h"
#include "tymbal/base/error.h"
#include "tymbal/geometry/strip.h"
#include "tymbal/modes/film_top.h"
#include "tymbal/modes/labels.h"

#include "../base/plain.h"
#include "../spline/film_modes.h"
#include "../spline/shapes.h"
#include "../spline/unstable.h"
#include "bending_band.h"
#include "character.h"
#include "grid_ladder.h"
#include "open_film.h"
#include "partners.h"
#include "shape_raster.h"
#include "solve_memory.h"

#include <algorithm>
#include <array>
#include <cmath>
#include <string>
#include <utility>

namespace tymbal {

namespace {

constexpr double pi = constants::pi;
constexpr double most_unknowns = 150'000;      // on the third grid: some 20 s
constexpr int most_ragged = 50'000;            // etch fronts: their cusps yield slowly, more hardly help
constexpr std::size_t most_openings = 20'000;  // beyond which counting the unknowns is not worth its time
constexpr std::size_t finest_picture = 2;      // of the ladder: pictures and stress maps come from it
constexpr double most_picture_cells = 400'000;
constexpr double rough_share = 0.5;  // of the bending, in doubt: an order of magnitude

/// A strip's sides are cut free by the film's openings; what is held is a frame round it.
Outline framed(const Outline& outline) {
    const Strip* strip = std::get_if<Strip>(&outline);
    return strip != nullptr ? frame_of(*strip) : outline;
}

spline::FilmProblem spline_problem(const ModeProblem& problem) {
    const PaintedFilm& film = problem.film;
    spline::FilmProblem out;
    out.rim = boundary(framed(problem.outline));
    out.openings = film.openings;
    out.sheet = {film.modulus * film.thickness, film.poisson_ratio, film.bending(), film.density * film.thickness,
                 film.stress * film.thickness};
    out.narrowest = film.narrowest;
    out.count = problem.count;
    out.near = std::pow(2.0 * pi * problem.near_hz, 2);
    out.accuracy = problem.accuracy;
    if (std::holds_alternative<Released>(problem.outline)) out.most_unknowns = most_ragged;
    return out;
}

/// Shapes of the splines at a level's nodes, w' M w = 1 there.
void take_shapes(const spline::FilmModes& found, Level& level) {
    std::vector<Point> nodes;
    for (const Node& n : level.grid.nodes) nodes.push_back(level.grid.place(n));
    level.shapes = spline::shapes_at(found.grid.cells, found.grid.space, found.vectors(), nodes);
    level.values = found.squares.back();
    for (Eigen::Index k = 0; k < level.shapes.cols(); ++k)
        level.shapes.col(k) /= std::sqrt(level.shapes.col(k).dot(level.mass.cwiseProduct(level.shapes.col(k))));
}

CutFilmStress stress_of(const spline::FilmModes& found, double thickness) {
    return {found.mean_tension.value / thickness,
            found.mean_tension.error / thickness,
            {found.peak.value / thickness, found.grid.peak_at},
            found.peak.error / thickness,
            found.sag.value,
            found.sag.error};
}

void add_bending(const spline::FilmMode& found, ModeIntegrals& out) {
    const spline::Bounded& share = found.bending_share;
    const double at_rim = found.rim_share;
    out.bending_edge = share.value * at_rim * out.stiffness;
    out.bending_interior = share.value * (1.0 - at_rim) * out.stiffness;
    out.bending_low = std::max(share.value - share.error, 0.1 * share.value) * out.stiffness;
    out.bending_high = (share.value + share.error) * out.stiffness;
    out.bending_rough = share.error > rough_share * share.value;
}

/// What the level's shape has where the mode's displacement is largest, signed.
double antinode(const Mode& mode, const Level& level, Eigen::Index k) {
    return std::copysign(1.0 / std::sqrt(mode.integrals.mass), film_top(level, level.shapes.col(k)));
}

Mode describe(const spline::FilmMode& found, const Level& level, Eigen::Index k) {
    Mode mode;
    mode.frequency_hz = std::sqrt(found.square.value) / (2.0 * pi);
    mode.discretisation_error_hz = 0.5 * found.square.error / found.square.value * mode.frequency_hz;
    ModeIntegrals& i = mode.integrals;
    i.mass = found.mass.value;
    i.mass_error = found.mass.error;
    i.stiffness = found.square.value * i.mass;
    i.net_mass = level.mass.dot(level.shapes.col(k)) / antinode(mode, level, k);
    add_bending(found, i);
    return mode;
}

/// By dimensions: lambda is linear in stress and modulus together, and R_b is the share of the modulus. What two sides
/// of a rectangle share is theirs as the level sees it, and adds up.
std::vector<Sensitivity> exact_parts(std::vector<Sensitivity> all, const spline::FilmModes& found, const Level& level,
                                     const ModeProblem& problem) {
    const PaintedFilm& film = problem.film;
    const bool rectangle = std::holds_alternative<Rectangle>(problem.outline);
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
        const double missing = rectangle ? s.scale - s.width - s.height : 0.0;
        s.width += 0.5 * missing;
        s.height += 0.5 * missing;
        // Hadamard's formula: the layer's energy is that of a rim one layer further out.
        if (layer > 0.0) s.rim = -2.0 * bend * found.modes[k].rim_share / layer;
    }
    return all;
}

/// A strip of other length or width, its free sides moved along.
ModeProblem changed(const ModeProblem& problem, double longer, double wider) {
    ModeProblem out = problem;
    Strip& strip = std::get<Strip>(out.outline);
    const auto times = [](const Sourced<Length>& l, double factor) {
        return Sourced<Length>(Length::from_si(l.si() * factor), l.deviation(), l.source());
    };
    strip = {times(strip.length, longer), times(strip.width, wider)};
    const auto sides = free_sides(strip);
    std::copy(sides.begin(), sides.end(), out.film.openings.end() - static_cast<std::ptrdiff_t>(sides.size()));
    out.film.narrowest *= std::min(longer, wider);
    return out;
}

/// What a strip's length and width do apart, by differences of whole solutions on one middling grid each.
void add_sides(const ModeProblem& problem, int first, std::vector<Sensitivity>& all) {
    constexpr double step = 0.03;
    const auto slopes = [&](double along, double across) {
        const auto at = [&](double sign) {
            return cut_film_squares(changed(problem, 1.0 + sign * along, 1.0 + sign * across), first);
        };
        const std::vector<double> more = at(1.0), less = at(-1.0);
        std::vector<double> out;
        for (std::size_t k = 0; k < more.size(); ++k)
            out.push_back(std::log(more[k] / less[k]) / std::log((1.0 + step) / (1.0 - step)));
        return out;
    };
    const std::vector<double> length = slopes(step, 0.0), width = slopes(0.0, step);
    for (std::size_t k = 0; k < all.size(); ++k) {
        all[k].width = length[k];
        all[k].height = width[k];
    }
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
    if (found.blind_radius > 0.0)
        set.warnings.push_back({"sharp-corners",
                                "stress has no limit at sharp corners of free edges and where a held rim "
                                "ends; the largest stress given is that more than " +
                                    plain(1e6 * found.blind_radius, 2) +
                                    " um away from them; corners that an arc rounds are counted"});
    double worst = 0.0;
    for (const Mode& m : set.modes) worst = std::max(worst, m.discretisation_error_hz / m.frequency_hz);
    if (worst > problem.accuracy)
        set.warnings.push_back(
            {"accuracy-not-reached", "the grids reach a relative error of " + plain(worst, 2) + " at " +
                                         std::to_string(found.unknowns) +
                                         " unknowns, above the accuracy asked for; the error of each mode is given"});
}

/// The finest grid of the ladder that pictures take.
std::size_t picture_grid(const GridLadder& grids) {
    std::size_t g = finest_picture;
    while (g > 0 && grids.all_cells(g) > most_picture_cells) --g;
    return g;
}

/// The first grids must fit in memory, then the levels; finer grids are solved as long as they do.
spline::FilmModes solve_in_memory(const ModeProblem& problem, const GridLadder& grids) {
    spline::FilmProblem cut = spline_problem(problem);
    const double needed = spline::needed_unknowns(cut);
    require_bytes(problem.effort, std::max(static_cast<std::size_t>(spline::held_bytes(cut, needed)),
                                           laid_out_bytes(problem, grids, picture_grid(grids))));
    const auto limit = static_cast<double>(memory_limit(problem.effort));
    while (cut.most_unknowns > 2.0 * needed && spline::held_bytes(cut, cut.most_unknowns) > limit)
        cut.most_unknowns /= 2;
    cut.most_unknowns = std::max(cut.most_unknowns, static_cast<int>(1.3 * needed));
    return film_modes(cut, problem.effort);
}

/// A level that has the splines' values and shapes.
Level level_of(const spline::FilmModes& found, const ModeProblem& problem, const std::array<int, 2>& cells,
               const StressPeak& peak) {
    Level level = lay_open_film(problem, cells[0], cells[1]).level;
    take_shapes(found, level);
    add_open_bending(problem, level);
    level.peak = peak;
    return level;
}

/// What hangs on parts of its rim moves like no drum, and modes inside the spectrum cannot be told from those that are
/// not solved: both have their number alone.
std::vector<std::string> labels_of(const spline::FilmModes& found, const Level& level, const ModeProblem& problem) {
    if (!found.cut_rim && problem.near_hz <= 0.0)
        return label_modes(problem.outline, level.grid, level.mass, level.shapes, problem.effort.cores());
    std::vector<std::string> numbers;
    for (int k = 1; k <= problem.count; ++k)
        numbers.push_back(std::string("#").append(std::to_string(found.first + k)));
    return numbers;
}

std::vector<Mode> describe(const spline::FilmModes& found, const Level& level, const ModeProblem& problem) {
    const auto labels = labels_of(found, level, problem);
    const std::vector<bool> open = open_points(problem.outline, level);
    std::vector<Mode> modes;
    for (int k = 0; k < problem.count; ++k) {
        const auto n = static_cast<std::size_t>(k);
        modes.push_back(describe(found.modes[n], level, k));
        modes.back().index = k + 1;
        modes.back().number = found.first + k + 1;
        modes.back().label = labels[n];
        modes.back().shape = shape_raster(level.grid, level.shapes.col(k), antinode(modes.back(), level, k), open);
    }
    name_partners(modes);
    return modes;
}

}  // namespace

bool cut_film_served(const ModeProblem& problem) {
    const PaintedFilm& film = problem.film;
    if (film.openings.empty() || film.openings.size() > most_openings || film.stress <= 0.0) return false;
    const spline::FilmProblem cut = spline_problem(problem);
    return spline::needed_unknowns(cut) <= std::min<double>(most_unknowns, cut.most_unknowns);
}

ModeSet cut_film_modes(const ModeProblem& asked) {
    const bool strip = std::holds_alternative<Strip>(asked.outline);
    ModeProblem problem = asked;
    problem.outline = framed(asked.outline);
    const GridLadder grids = choose_grids(problem);
    const spline::FilmModes found = solve_in_memory(problem, grids);
    ModeSet set;
    set.rim = grids.rim;
    set.cut_stress = stress_of(found, problem.film.thickness);
    const std::size_t finer = picture_grid(grids);
    set.coarse = level_of(found, problem, grids.cells(0), set.cut_stress->peak);
    set.fine = finer > 0 ? level_of(found, problem, grids.cells(finer), set.cut_stress->peak) : set.coarse;
    set.modes = describe(found, set.fine, problem);
    if (strip)
        for (Mode& m : set.modes) m.character = strip_character(m.shape);
    set.sensitivities = exact_parts(sensitivities(set.coarse, problem, set.rim), found, set.coarse, problem);
    if (strip) add_sides(asked, found.first + 1, set.sensitivities);
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

CriticalStress cut_film_buckling(const ModeProblem& problem) {
    const spline::Bounded share = spline::stable_share(spline_problem(problem));
    const double stress = problem.film.stress;
    return {share.value * stress, share.error * stress, share.value * stress};
}

std::vector<double> cut_film_squares(const ModeProblem& problem, int first) {
    const spline::Vector squares = spline::middling_squares(spline_problem(problem), first - 1);
    return {squares.begin(), squares.end()};
}

}  // namespace tymbal

#include "cut_film.h"

#include "tymbal/base/constants.h"
#include "tymbal/base/error.h"
#include "tymbal/geometry/strip.h"
#include "tymbal/modes/film_top.h"
#include "tymbal/modes/labels.h"

#include "../base/plain.h"
#include "../spline/film_modes.h"
#include "../spline/unstable.h"
#include "bending_band.h"
#include "character.h"
#include "cut_film_weights.h"
#include "film_picture.h"
#include "grid_ladder.h"
#include "pad.h"
#include "partners.h"
#include "shape_raster.h"
#include "solve_memory.h"

#include <algorithm>
#include <array>
#include <cmath>
#include <memory>
#include <string>
#include <utility>
#include <vector>

namespace tymbal {

namespace {

using constants::pi;
constexpr double most_unknowns = 150'000;      // on the third grid: some 20 s
constexpr int most_ragged = 50'000;            // etch fronts: their cusps yield slowly, more hardly help
constexpr std::size_t most_openings = 20'000;  // beyond which counting the unknowns is not worth its time
constexpr std::size_t finest_picture = 2;      // of the ladder
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
    out.sheet = sheet_of(film);
    out.narrowest = film.narrowest;
    out.count = problem.count;
    out.near = std::pow(2.0 * pi * problem.near_hz, 2);
    out.accuracy = problem.accuracy;
    if (problem.spot) out.spot = {problem.spot->centre, problem.spot->radius_m};
    if (std::holds_alternative<Released>(problem.outline)) out.most_unknowns = most_ragged;
    return out;
}

CutFilmStress stress_of(const spline::FilmModes& found, double thickness) {
    return {found.mean_tension.value / thickness,
            found.mean_tension.error / thickness,
            {found.peak.value / thickness, found.grid.peak_at},
            found.peak.error / thickness,
            found.sag.value,
            found.sag.error,
            found.spot.value,
            found.spot.error};
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

/// Cells of the picture, across and up.
std::array<int, 2> picture_cells(const GridLadder& grids) {
    std::size_t g = finest_picture;
    while (g > 0 && grids.all_cells(g) > most_picture_cells) --g;
    const double fewer = std::min(1.0, std::sqrt(most_picture_cells / grids.all_cells(g)));
    const auto [x, y] = grids.cells(g);
    const auto even = [&](int cells) { return 2 * std::max(1, static_cast<int>(std::lround(0.5 * fewer * cells))); };
    return {even(x), even(y)};
}

/// The first grids must fit in memory; finer ones are solved as long as they do.
spline::FilmModes solve_in_memory(const ModeProblem& problem) {
    spline::FilmProblem cut = spline_problem(problem);
    const double needed = spline::needed_unknowns(cut);
    require_bytes(problem.effort, static_cast<std::size_t>(spline::held_bytes(cut, needed)));
    const auto limit = static_cast<double>(memory_limit(problem.effort));
    while (cut.most_unknowns > 2.0 * needed && spline::held_bytes(cut, cut.most_unknowns) > limit)
        cut.most_unknowns /= 2;
    cut.most_unknowns = std::max(cut.most_unknowns, static_cast<int>(1.3 * needed));
    return film_modes(cut, problem.effort);
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
    const auto solved = std::make_shared<const spline::FilmModes>(solve_in_memory(problem));
    const spline::FilmModes& found = *solved;
    ModeSet set;
    set.cut_film = solved;
    set.rim = grids.rim;
    set.cut_stress = stress_of(found, problem.film.thickness);
    const auto [across, up] = picture_cells(grids);
    set.fine = film_picture(found, problem, across, up);
    set.modes = describe(found, set.fine, problem);
    const bool hangs = !strip && found.cut_rim;
    const std::vector<bool> pad = hangs ? pad_points(set.fine, problem.film.narrowest) : std::vector<bool>{};
    for (Mode& m : set.modes) m.character = strip ? strip_character(m.shape) : pad_character(m.shape, pad);
    set.sensitivities = cut_film_sensitivities(found, asked);
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
    const spline::Vector squares = spline::middling_squares(spline_problem(problem), first - 1, problem.effort);
    return {squares.begin(), squares.end()};
}

}  // namespace tymbal

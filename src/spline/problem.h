// What is asked of a film, and the grids that an answer begins with.
#pragma once

#include "loads.h"
#include "region.h"
#include "sheet.h"

#include <algorithm>
#include <cmath>
#include <cstddef>
#include <optional>
#include <vector>

namespace tymbal::spline {

struct FilmProblem {
    Boundary rim;
    std::vector<Figure> openings;
    HeldSides held = HeldSides::all;
    Sheet sheet;
    double narrowest = 0.0;  ///< least width of film or opening that the first grid must see, m
    int count = 12;
    double near = 0.0;            ///< omega^2: the modes nearest to it, 1/s^2; 0: the lowest
    double accuracy = 1e-3;       ///< relative, on frequencies
    std::optional<Spot> spot;     ///< that pushes the film: see SolvedGrid::spot
    int most_unknowns = 300'000;  ///< the last grid has no more
};

constexpr double grid_step = 1.5;       ///< from grid to grid
constexpr std::size_t least_grids = 3;  ///< two differences show how errors fall

/// Modes that a grid is solved for: more than asked, so that no pair is cut in two at the end of the list. Of those
/// nearest to a frequency each grid sees others, for coarse grids are too stiff.
[[nodiscard]] int modes_per_grid(const FilmProblem& problem);

/// Corners at which stress has no limit, and how far from them the largest stress is looked for, m.
struct Blind {
    std::vector<Point> corners;
    double radius = 0.0;
    [[nodiscard]] bool covers(Point p) const {
        return std::any_of(corners.begin(), corners.end(),
                           [&](Point c) { return std::hypot(p.x - c.x, p.y - c.y) < radius; });
    }
};

/// The film's region, and the first grid's spacing on it.
struct Start {
    Region region;
    Blind blind;
    double spacing = 0.0;
};

/// The first grid sees what is narrow, and every half-wave with two cells at least: by Weyl's law the last of N modes
/// of an area A has the wave number sqrt(4 pi N/A); the one of a frequency follows from the tension, of which the
/// release leaves some four tenths in open films.
[[nodiscard]] Start start_of(const FilmProblem& problem);

/// Unknowns of the third grid, which every answer needs; within some tenths.
[[nodiscard]] double needed_unknowns(const FilmProblem& problem);

/// Unknowns beyond which a grid is solved by multigrid; infinite where only factors find the modes asked for.
[[nodiscard]] double largest_factored(const FilmProblem& problem);

/// Bytes at the peak of a grid, within a fifth between 1e4 and 1e6 unknowns [measured].
[[nodiscard]] double held_bytes(const FilmProblem& problem, double unknowns);

}  // namespace tymbal::spline

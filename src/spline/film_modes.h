// Modes of a film on three grids of falling spacing, and how sure they are.
#pragma once

#include "limit.h"
#include "modes.h"
#include "sheet.h"

#include "tymbal/grid/solve_effort.h"

#include <vector>

namespace tymbal::spline {

struct FilmProblem {
    Boundary rim;
    std::vector<Figure> openings;
    HeldSides held = HeldSides::all;
    Sheet sheet;
    double narrowest = 0.0;  ///< least width of film or opening that the first grid must see, m
    int count = 12;
    double accuracy = 1e-3;       ///< relative, on frequencies
    int most_unknowns = 300'000;  ///< the last grid has no more
};

struct FilmMode {
    Bounded square;         ///< omega^2, 1/s^2
    Bounded bending_share;  ///< R_b
    Bounded mass;           ///< at the largest displacement, kg
};

/// One grid, solved.
struct SolvedGrid {
    Cells cells;
    Space space;
    Plane plane;
    int unstable = 0;         ///< shapes without stiffness; then there are no figures below
    Vector values;            ///< omega^2
    Eigen::MatrixXd vectors;  ///< v' M v = 1
    Vector bending_shares, masses;
    double mean_tension = 0.0;  ///< over the film that is there, N/m
    double peak = 0.0;          ///< largest von Mises tension, N/m
    double peak_doubt = 0.0;    ///< there: tension across a free edge, which should be none, N/m
    Point peak_at;
};

struct FilmModes {
    std::vector<FilmMode> modes;  ///< as many as asked for, by rising value; the grids have two more
    SolvedGrid grid;              ///< the finest
    Bounded mean_tension, peak;   ///< N/m
    std::vector<Loose> loose;
    std::vector<double> spacing;  ///< of the grids, m
    std::vector<Vector> squares;  ///< omega^2, one row per grid
    std::size_t unknowns = 0;     ///< of the finest grid
};

/// Unknowns of the third grid, which every answer needs; within some tenths. Film that nothing holds is counted as
/// well.
[[nodiscard]] double needed_unknowns(const FilmProblem& problem);

/// @throws NoAnswer when the flat film is unstable, nothing is held, or the first grid is too large
[[nodiscard]] FilmModes film_modes(const FilmProblem& problem, const SolveEffort& effort = {});

/// Bytes at the peak of a grid, within a fifth between 1e4 and 2e5 unknowns [measured].
[[nodiscard]] double held_bytes(double unknowns);

/// omega^2 on the second of the grids alone: what differences between two films need. @throws NoAnswer as film_modes
[[nodiscard]] Vector middling_squares(const FilmProblem& problem);

}  // namespace tymbal::spline

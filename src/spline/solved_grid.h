// One grid of a film, solved: modes, their bending shares and masses, mean and largest tension.
#pragma once

#include "modes.h"
#include "problem.h"

#include "tymbal/grid/solve_effort.h"

namespace tymbal::spline {

/// A grid's forms and the pairs that are asked for.
struct Spectrum {
    Cells cells;
    Space space;
    Plane plane;
    Plate plate;
    Eigenpairs pairs;
    Vector sagged, dented;  ///< under a pressure of one, and under the spot; empty where nobody has solved it yet
};

/// By factors. @throws NoAnswer when the grid has more unknowns than the problem allows
[[nodiscard]] Spectrum factored_spectrum(const FilmProblem& problem, const Region& region, double spacing,
                                         const SolveEffort& effort = {});

/// By factors, or as large_spectrum. @throws NoAnswer as they do
[[nodiscard]] Spectrum spectrum(const FilmProblem& problem, const Region& region, double spacing,
                                const SolveEffort& effort = {});

/// @throws NoAnswer when the grid has more unknowns than the problem allows
void require_allowed(const FilmProblem& problem, const Space& space);

/// Modes of the film below the first pair found: those below the shift, less the pairs found there.
[[nodiscard]] int modes_before(const Spectrum& s, double shift);

/// Shapes of the flat film that have no stiffness.
[[nodiscard]] int unstable_shapes(const FilmProblem& problem, const Spectrum& s);

struct SolvedGrid {
    Cells cells;
    Space space;
    Plane plane;
    int unstable = 0;         ///< shapes without stiffness; then there are no figures below
    int first = 0;            ///< modes of the film below the first one here
    Vector values;            ///< omega^2
    Eigen::MatrixXd vectors;  ///< v' M v = 1
    Vector bending_shares, masses;
    double sag = 0.0;   ///< largest deflection per pressure on the film, m/Pa
    double spot = 0.0;  ///< deflection under the spot's force, weighted as its light is, m/N; 0: it misses the film
    double mean_tension = 0.0;  ///< over the film that is there, N/m
    double peak = 0.0;          ///< largest von Mises tension, N/m
    double peak_doubt = 0.0;    ///< there: tension across a free edge, which should be none, N/m
    Point peak_at;
};

/// @param check  that no mode is missing in between, at the price of one more factor
[[nodiscard]] SolvedGrid solved_grid(const FilmProblem& problem, const Start& start, double spacing, bool check,
                                     const SolveEffort& effort = {});

/// @throws UnstableFilm that says where the shape without stiffness moves
[[noreturn]] void refuse_unstable(const SolvedGrid& grid);

}  // namespace tymbal::spline

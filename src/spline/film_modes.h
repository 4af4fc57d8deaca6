// Modes of a film on three grids of falling spacing, and how sure they are.
#pragma once

#include "limit.h"
#include "solved_grid.h"

#include "tymbal/grid/solve_effort.h"

#include <vector>

namespace tymbal::spline {

struct FilmMode {
    Bounded square;          ///< omega^2, 1/s^2
    Bounded bending_share;   ///< R_b
    Bounded mass;            ///< at the largest displacement, kg
    double rim_share = 0.0;  ///< of the bending energy: the rim's spring and what lies within three layers of the rim
};

struct FilmModes {
    std::vector<FilmMode> modes;  ///< as many as asked for, by rising value
    int first = 0;                ///< modes of the film below the first of them
    SolvedGrid grid;              ///< the finest; it has more modes than these
    SolvedGrid before;            ///< the grid before it
    Bounded sag;                  ///< largest deflection per pressure on the film, m/Pa
    Bounded spot;                 ///< see SolvedGrid::spot, m/N
    Bounded mean_tension, peak;   ///< N/m
    double blind_radius = 0.0;    ///< round corners where stress has no limit, m: the peak lies further off; 0: none
    bool cut_rim = false;         ///< see has_cut_rim
    std::vector<Loose> loose;
    std::vector<double> spacing;  ///< of the grids, m
    std::vector<Vector> squares;  ///< omega^2 of these modes, one row per grid
    std::size_t unknowns = 0;     ///< of the finest grid
    bool corners = false;         ///< sharp ones: see cornered_limit
    /// Shapes of these modes on the finest grid, v' M v = 1.
    [[nodiscard]] Eigen::MatrixXd vectors() const {
        return grid.vectors.middleCols(first - grid.first, static_cast<Eigen::Index>(modes.size()));
    }
    /// These modes' part of what is known of all modes of one of the two grids.
    [[nodiscard]] Vector of_modes(const SolvedGrid& g, const Vector& all) const {
        return all.segment(first - g.first, static_cast<Eigen::Index>(modes.size()));
    }
};

/// @throws UnstableFilm, and NoAnswer when nothing is held, or the first grid is too large
[[nodiscard]] FilmModes film_modes(const FilmProblem& problem, const SolveEffort& effort = {});

/// omega^2 of `problem.count` modes above the lowest `first`, on the second of the grids alone: what differences
/// between two films need. @throws NoAnswer as film_modes
[[nodiscard]] Vector middling_squares(const FilmProblem& problem, int first, const SolveEffort& effort = {});

}  // namespace tymbal::spline

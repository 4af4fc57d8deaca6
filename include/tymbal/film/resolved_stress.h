// Stress of a film whose every hole is on the grid: relaxed against rim and free edges, and its peak.
#pragma once

#include "tymbal/film/prestress.h"
#include "tymbal/grid/corner_tension.h"
#include "tymbal/grid/solve_effort.h"

namespace tymbal {

struct ResolvedStress {
    TensionField field;    ///< macroscopic (open parts count as zero) per cell
    CornerTensor corners;  ///< the same, where the balance knows it; principal tensions are raised where next to none
    CornerTensor raised;   ///< by how much; empty where the film is everywhere taut
    Vector displacement;   ///< m: 2 n along x, 2 n + 1 along y of node n
};

/// As relax(), for a film with openings; what is slack by the mean tension round a node is raised (film/slack_film.h).
/// @param grid  of held film, see grid/held_film.h
/// @throws NoAnswer when it cannot be balanced or was stopped
[[nodiscard]] ResolvedStress relax_resolved(const PaintedFilm& film, const Grid& grid, const FilmMap& map,
                                            const SolveEffort& effort = {});

struct StressPeak {
    double von_mises = 0.0;  ///< Pa
    Point at;
};

/// Largest von Mises stress of the film: along the free edges from displacement gradients fitted to the nodes of film
/// near by (grid/patch.h), elsewhere from cells that are film throughout. Threads change no digit.
[[nodiscard]] StressPeak peak_stress(const PaintedFilm& film, const Grid& grid, const FilmMap& map,
                                     const ResolvedStress& stress, unsigned threads = 1);

}  // namespace tymbal

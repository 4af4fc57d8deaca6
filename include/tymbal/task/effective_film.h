// The released film in the large: hole field, relaxed stress, tension and effective stiffness.
#pragma once

#include "tymbal/modes/find_modes.h"
#include "tymbal/task/predict.h"

namespace tymbal {

/// The design's film with its hole field ready to be painted, and what was counted on the way.
struct FilmOnOutline {
    PaintedFilm film;
    std::vector<Hole> holes;
    double outline_area = 0.0;  ///< m^2
    double hole_area = 0.0;     ///< of all holes together, m^2; resolved: of all that is open inside the outline
    /// Resolved model: the lattice's cell, for the constants that are the hole field's; the film itself has openings.
    std::optional<CellFilm> cell;
};

/// The model that a design asks for, and why.
struct ModelChoice {
    bool resolved = false;
    std::string reason;
};

/// `auto` resolves what a lattice's average cannot see: single holes, openings, omitted sites, very few holes; and the
/// holes of an etch front, whose rim they shape, up to 400 of them.
/// @throws NoAnswer when the averaged model is asked for and does not apply
[[nodiscard]] ModelChoice choose_model(const Device& device);

/// Places the holes, solves their unit cell, and lays out the hole field; or, resolved, every hole and opening.
/// @throws NoAnswer when the averaged model is asked for and does not apply
[[nodiscard]] FilmOnOutline lay_out(const Device& device, const CellSolver& cells);

/// The model of tasks that do not see single holes: a lattice that may be averaged is.
[[nodiscard]] Model coarse_model(const Device& device);

/// The same for tasks that solve one coarse grid, which does not see single holes: a lattice that may be averaged is.
[[nodiscard]] FilmOnOutline lay_out_coarsely(const Device& device, const CellSolver& cells);

/// A pattern's holes in place: inside the outline, or, where the outline follows from them, inside their own field.
/// @throws NoAnswer see place_holes
[[nodiscard]] std::vector<Hole> place(const HolePattern& holes, const Outline& outline);
[[nodiscard]] PlacedHoles holes_in_place(const Device& device);

/// Unit cell problem of a pattern in a film: hole size and edge layer in units of the pitch.
[[nodiscard]] CellProblem cell_problem(const Film& film, const HolePattern& holes, double accuracy);

/// Of the film that hangs free with its patches, kg.
[[nodiscard]] double suspended_mass(const FilmOnOutline& laid);

/// Film block of the prediction. @param fine  finest grid of the modes
[[nodiscard]] EffectiveFilm effective_film(const Device& device, const FilmOnOutline& laid, const Level& fine);

/// Resolved model: mean stress and the peak's error as all grids tell them, not the level of effective_film alone.
void take_grids_stress(const ModeSet& set, EffectiveFilm& film);

/// Open fraction of the hole field's lattice; empty without a lattice.
[[nodiscard]] std::optional<double> open_fraction(const FilmOnOutline& laid);

}  // namespace tymbal

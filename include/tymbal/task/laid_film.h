// A design's film with its hole field laid out, ready to be painted on any grid.
#pragma once

#include "tymbal/modes/find_modes.h"
#include "tymbal/task/predict.h"

#include <optional>
#include <vector>

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

/// Places the holes, solves their unit cell, and lays out the hole field; or, resolved, every hole and opening.
/// @throws NoAnswer when the averaged model is asked for and does not apply
[[nodiscard]] FilmOnOutline lay_out(const Device& device, const CellSolver& cells);

/// The same for tasks that solve one coarse grid, which does not see single holes: a lattice that may be averaged is.
[[nodiscard]] FilmOnOutline lay_out_coarsely(const Device& device, const CellSolver& cells);

/// Of the film that hangs free with its patches, kg.
[[nodiscard]] double suspended_mass(const FilmOnOutline& laid);

/// Open fraction of the hole field's lattice; empty without a lattice.
[[nodiscard]] std::optional<double> open_fraction(const FilmOnOutline& laid);

}  // namespace tymbal

// Light that heats the film: temperature by conduction to the rim and radiation, the stress it takes away, and how far
// that moves each mode.
#pragma once

#include "tymbal/modes/find_modes.h"

#include <vector>

namespace tymbal {

/// What absorbs, and how heat leaves.
struct HeatProblem {
    double conductivity = 0.0;  ///< of the solid film, W/(m K)
    double expansion = 0.0;     ///< of the film, 1/K
    double emissivity = 0.0;    ///< of one face; 0: no radiation
    double temperature_k = 295.0;
    Point spot;
    double spot_radius_m = 0.0;  ///< 1/e^2 intensity radius
};

/// Answers per watt absorbed (linear: small rise against the surroundings).
struct Heating {
    double hottest_k_per_w = 0.0;              ///< at the grid's resolution
    double mean_k_per_w = 0.0;                 ///< over the outline
    double radiated_share = 0.0;               ///< of the heat that does not reach the rim
    double stress_drop_pa_per_w = 0.0;         ///< mean over the outline of (sxx + syy)/2, macroscopic, positive: falls
    std::vector<double> relative_shift_per_w;  ///< df/f of each mode, 1/W
};

/// Conduction per area of a perforated film over that of the solid one, (1 - open)/(1 + open): holes that do not
/// conduct (Maxwell's relation in two dimensions, upper bound of Hashin, J. Mech. Phys. Solids 13, 119 (1965), from
/// memory, re-derived).
[[nodiscard]] double conduction_share(double open_fraction);

/// Temperature rise at the nodes of a grid for one watt: kappa h lap T - 2 eps 4 sigma T0^3 T + q = 0, T = 0 at the rim
/// (the chip is taken as cold). @param map  painted on `grid`, gives the share of the hole field per cell
[[nodiscard]] Vector temperature_rise(const HeatProblem& heat, const PaintedFilm& film, const Grid& grid,
                                      const FilmMap& map);

/// Change of tension by a rise of temperature at the nodes; the in-plane problem is solved with the rim fixed.
[[nodiscard]] TensionField tension_change(const Grid& grid, const FilmMap& map, double expansion, const Vector& rise);

/// Shifts by df/f = int dN : grad w grad w dA / (2 omega^2 int m w^2 dA) [derived: Hellmann-Feynman], on the coarsest
/// grid of the set; with ModeSet::cut_film on its finest.
/// @param outline_area_m2  that the means are taken over
[[nodiscard]] Heating heating(const ModeSet& set, const PaintedFilm& film, const HeatProblem& heat,
                              double outline_area_m2);

/// Light's share at the nodes of a grid, from a Gaussian spot; sums to one when all light meets the film.
[[nodiscard]] Vector spot_shares(const Grid& grid, Point centre, double spot_radius_m);

}  // namespace tymbal

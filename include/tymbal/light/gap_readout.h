// A film over a gap over a substrate as an interferometer: how the reflected power follows the gap, where it is blind
// and where it is steepest.
#pragma once

#include "tymbal/light/film_light.h"

#include <functional>
#include <vector>

namespace tymbal {

/// What the light meets: the film, an empty gap, the substrate. The zero order of a lattice alone crosses the gap;
/// light/coupled_gap.h has the others.
struct FilmOverGap {
    SeenFilm film;             ///< alone, in vacuum
    ComplexIndex below = 1.0;  ///< substrate; 1 for a through-hole
    double wavelength_m = 0.0;
};

struct GapPoint {
    double reflectivity = 0.0;
    double slope_per_m = 0.0;  ///< dR/dgap
    double absorption = 0.0;   ///< part of the incident power left in the film
    double error = 0.0;        ///< of the reflectivity, by numerics; 0 where that of the film's own is not followed
    double slope_error_per_m = 0.0;  ///< likewise
};

/// With r and t of the film alone and u = rho exp(2 i k g) from the substrate, the stack reflects r + t^2 u/(1 - r' u);
/// its derivative is taken in closed form. Zero slope over a through-hole. Means of both fields. Of the power that does
/// not come back in the zero order, the film alone tells which share it absorbs and which it diffracts.
[[nodiscard]] GapPoint at_gap(const FilmOverGap& stack, double gap_m);

/// A place on an axis (gap or wavelength) and the slope there.
struct Landmark {
    double at = 0.0;  ///< m
    double slope_per_m = 0.0;
};

struct Landmarks {
    std::vector<Landmark> blind;  ///< slope crosses zero
    std::vector<Landmark> best;   ///< |slope| has a local maximum
};

/// Landmarks of `slope` between two places, rising; features narrower than (to - from)/steps may be missed.
[[nodiscard]] Landmarks find_landmarks(const std::function<double(double)>& slope, double from, double to, int steps);

/// Interval round `at` in which |slope| stays above half of its value there; ends at `reach` on either side at most.
struct Tolerance {
    double low = 0.0, high = 0.0;
};
[[nodiscard]] Tolerance half_slope(const std::function<double(double)>& slope, double at, double reach);

}  // namespace tymbal

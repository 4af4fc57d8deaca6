// Curved mirrors: whether light stays between them, and how wide its spot is where the film hangs.
#pragma once

#include <optional>

namespace tymbal {

struct Resonator {
    double length_m = 0.0;
    std::optional<double> input_radius_m;  ///< of curvature, concave towards the film; empty: flat
    std::optional<double> end_radius_m;
};

/// g1 g2 with g = 1 - L/R; the resonator is stable from 0 to 1.
[[nodiscard]] double stability(const Resonator& resonator);

/// 1/e^2 intensity radius of the lowest transverse mode at a distance from the input mirror; the film bends no light.
/// Source: Kogelnik and Li, Appl. Opt. 5, 1550 (1966) (from memory).
/// @return empty unless the resonator is stable (a symmetric confocal one counts as stable)
[[nodiscard]] std::optional<double> spot_radius_m(const Resonator& resonator, double wavelength_m, double from_input_m);

}  // namespace tymbal

// Gas drag: free molecules on the open faces, and a band for the gas in the gap below.
#pragma once

#include "tymbal/quality/budget.h"

namespace tymbal {

/// Mean free path (mu/p) sqrt(pi R T/(2 M)), m; infinite at zero pressure. Kinetic theory (from memory, re-derived).
[[nodiscard]] double mean_free_path_m(const Surroundings& surroundings, double temperature_k);

/// Thermal speed sqrt(R T/M), m/s.
[[nodiscard]] double thermal_speed_m_per_s(const Gas& gas, double temperature_k);

/// Drag of free molecules per area of ONE face and velocity, Pa s/m: between diffuse and specular walls.
/// Source: Christian, Vacuum 16, 175 (1966) (from memory, re-derived).
struct FaceDrag {
    double diffuse = 0.0;
    double specular = 0.0;
};
[[nodiscard]] FaceDrag face_drag(const Surroundings& surroundings, double temperature_k);

/// Faces open to the chamber: two without a gap, one with it.
[[nodiscard]] LossTerm gas_loss(const Mode& mode, const LossInputs& inputs);

/// The gap side.
[[nodiscard]] LossTerm squeeze_film_loss(const Mode& mode, const LossInputs& inputs);

}  // namespace tymbal

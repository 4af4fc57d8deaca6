// A gas dense enough to flow beside a moving film: its drag, its added mass and the sound it carries away.
#pragma once

#include "tymbal/modes/modes.h"

namespace tymbal {

/// What a gas on ONE face puts on the film, per area.
struct GasLoad {
    double drag = 0.0;        ///< Pa s/m
    double added_mass = 0.0;  ///< kg/m^2
};

/// Incompressible unsteady Stokes flow over a plane that moves normal to itself as exp(i k x - i omega t), no slip:
/// impedance Z = -i omega rho m/(k (m - k)), m^2 = k^2 - i omega rho/mu. Limits: 2 mu k when slow, and when fast the
/// added mass rho/k with the drag sqrt(omega rho mu/2) of the boundary layer (Landau and Lifshitz, Fluid Mechanics,
/// section 24, from memory; derived).
/// @param density, viscosity  of the gas, kg/m^3, Pa s; all arguments positive
[[nodiscard]] GasLoad stokes_load(double density, double viscosity, double omega, double wave_number);

/// Drag per area of ONE face by sound, at most, Pa s/m. Where the film's wave outruns sound: rho c/sqrt(1 - (k
/// c/omega)^2) of an infinite plane, capped at 2 rho c because a membrane is finite; where it does not, the net volume
/// of a (1,1) mode as a point source in a baffle, (64/pi^4) rho omega^2 area/(2 pi c), never above rho c (Morse and
/// Ingard, Theoretical Acoustics, ch. 7, from memory).
[[nodiscard]] double sound_drag(double density, double sound_speed, double omega, double wave_number, double area);

/// sqrt(int |grad w|^2 / int w^2) of a shape that vanishes at its rim, 1/m; 0 for an empty shape.
[[nodiscard]] double wave_number(const ShapeRaster& shape);

}  // namespace tymbal

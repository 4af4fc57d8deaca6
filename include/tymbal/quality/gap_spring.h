// Gas that is trapped under a film: how far it raises a frequency, and how it damps where molecules meet each other.
#pragma once

#include "tymbal/quality/budget.h"

#include <optional>
#include <string>

namespace tymbal {

struct GapGas {
    double knudsen_gap = 0.0;   ///< mean free path over the gap
    double knudsen_film = 0.0;  ///< over the membrane's size
    std::string regime;         ///< of the gap: "free-molecular", "transition", "slip-flow" or "viscous"
    /// Rise of the frequency by gas that has no time to leave, walls that take molecules up: f (sqrt(1 + p/(rho h g
    /// omega^2)) - 1). Nothing when all of it escapes, about three times that for mirror-like walls.
    double shift_hz = 0.0;
    /// omega tau: above one the gas is a spring more than a damper. tau by diffusion along the gap to the rim.
    double omega_tau = 0.0;
    std::optional<double> quality;  ///< of the gap's gas where it is not free-molecular; holes let gas out and raise it
};

/// Linear isothermal Reynolds equation for a mode of wave number k: the pressure under it is -(p w/g) i omega tau/(1 +
/// i omega tau), 1/tau = k^2 p g^2/(12 mu'), with Veijola's effective viscosity mu' = mu/(1 + 9.638 Kn^1.159), which
/// spans viscous to free-molecular flow along a slit. Q = omega^2 rho h g (1 + (omega tau)^2)/(p omega tau).
/// Sources: Blech, J. Lubr. Technol. 105, 615 (1983), doi 10.1115/1.3254692; Veijola et al., Sens. Actuators A 48, 239
/// (1995), doi 10.1016/0924-4247(95)00995-7 (citations read, formulas from memory and re-derived).
/// Not valid where the gas adds mass (dense gas under a slow, wide film) or where the rim is a wall without holes.
/// @return empty without gap or gas
[[nodiscard]] std::optional<GapGas> gap_gas(const Mode& mode, const LossInputs& inputs, double wave_number_per_m);

}  // namespace tymbal

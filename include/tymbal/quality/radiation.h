// Waves that the mode sends into the chip: a band between an ideal half-space and an ideal endless plate.
#pragma once

#include "tymbal/quality/budget.h"

namespace tymbal {

/// I(nu) in P = I omega^2 F^2/(4 pi rho c_T^3), the mean power of a harmonic normal force of amplitude F on a
/// half-space: body waves by quadrature, Rayleigh wave by its residue. Source: Miller and Pursey, Proc. R. Soc. A 233,
/// 55 (1955) (from memory, re-derived).
[[nodiscard]] double half_space_power_factor(double poisson_ratio);

/// Rule, the same for every outline: the net force omega^2 int m w dA on the rim drives the substrate. A mode whose net
/// force is below a thousandth of that of a rigid film of the same mass and effective mass (even index, nodal
/// diameters, antisymmetric shapes) gets no number: it radiates only through higher moments, far less.
[[nodiscard]] LossTerm radiation_loss(const Mode& mode, const LossInputs& inputs);

}  // namespace tymbal

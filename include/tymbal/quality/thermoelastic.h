// Thermoelastic loss: heat that flows through the film's thickness as it bends.
#pragma once

#include "tymbal/quality/budget.h"

namespace tymbal {

/// Shape of the loss over xi = h sqrt(omega C/(2 kappa)): 6/xi^2 - (6/xi^3)(sinh xi + sin xi)/(cosh xi + cos xi); its
/// largest value is 0.494 at xi = 2.225; it is xi^2/5 for small xi.
/// Source: Lifshitz and Roukes, Phys. Rev. B 61, 5600 (2000), doi 10.1103/PhysRevB.61.5600 (exact form from memory).
[[nodiscard]] double thermoelastic_shape(double xi);

/// Loss of the bending part, times (1 + nu)/(1 - nu) for plates, divided by the dilution.
[[nodiscard]] LossTerm thermoelastic_loss(const Mode& mode, const Film& film, const Dilution& dilution);

}  // namespace tymbal

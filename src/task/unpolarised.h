// Answers of one field made into those of unpolarised light.
#pragma once

#include "tymbal/task/light.h"

namespace tymbal {

/// Plane layers in the words of a lattice: the zero order is all there is.
[[nodiscard]] LatticeResponse as_lattice(const StackResponse& plain);

/// Means of the powers; amplitudes of the first field.
[[nodiscard]] LatticeResponse unpolarised(const std::vector<PolarisedResponse>& both);

}  // namespace tymbal

// Several data sets together: do they belong to one film, and did a device change between two of them?
#pragma once

#include "tymbal/task/compare.h"

namespace tymbal {

/// @throws InputError when the designs do not describe the same film
void require_one_film(const std::vector<DeviceInput>& devices);

/// Two data sets of the same design whose modes differ by more than heat, light, gas and ageing explain.
[[nodiscard]] Warnings drift_warnings(const std::vector<DeviceInput>& inputs,
                                      const std::vector<DeviceComparison>& devices);

}  // namespace tymbal

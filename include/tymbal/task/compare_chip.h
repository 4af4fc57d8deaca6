// The devices of a chip beside what was measured of them.
#pragma once

#include "tymbal/task/chip_design.h"
#include "tymbal/task/compare.h"

#include <vector>

namespace tymbal {

/// In the order of the chip file; devices that were not measured are left out.
/// @throws InputError for a name that no device of the chip has, listing those it has, and for a device measured twice
[[nodiscard]] std::vector<DeviceInput> measured_devices(const ChipDesign& chip,
                                                        const std::vector<MeasuredDevice>& measured);

}  // namespace tymbal

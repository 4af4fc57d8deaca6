// Likely reasons: why a peak is no mode of this membrane, why a mode was not seen.
#pragma once

#include "tymbal/task/compare.h"

namespace tymbal {

/// Fills the remarks of all peaks of a device: foreign ones get a likely reason, named ones a doubt where a harmonic
/// lies at the same place. A harmonic is concluded only from an exact ratio within the peaks' own uncertainties, or
/// from how its height rises with the drive.
void add_remarks(const Device& design, const Materials& materials, DeviceComparison& device);

/// Modes inside the measured band that no peak was taken for. @param fitted_hz  one per mode of the prediction
[[nodiscard]] std::vector<UnseenMode> unseen_modes(const DeviceComparison& device,
                                                   const std::vector<double>& fitted_hz);

}  // namespace tymbal

// What a comparison says of one device: every peak with its name, budget and remark, and the modes without a peak.
#pragma once

#include "comparing.h"

namespace tymbal {

/// @param input  the design and the file as given
/// @param shift  of the fitted film, from where `work` is solved
[[nodiscard]] DeviceComparison report_on(const DeviceInput& input, const Work& work, const Shift& shift,
                                         const Materials& materials);

/// A single decay cannot fit a film: its mode is named when the prediction is sharp enough, its Q is judged.
[[nodiscard]] Comparison compare_ringdown(const DeviceInput& input, Work& work, const Materials& materials);

/// What the prediction warns of about gas; shares of a predicted loss only where no Q was measured.
void add_gas_warnings(const DeviceComparison& device, Warnings& warnings);

}  // namespace tymbal

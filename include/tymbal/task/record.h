// What commands and drawings leave in the record of chips: each a pure function from its result to entries.
#pragma once

#include "tymbal/record/entry.h"
#include "tymbal/task/chip_design.h"
#include "tymbal/task/compare.h"
#include "tymbal/task/pattern.h"
#include "tymbal/task/predict.h"
#include "tymbal/task/release_report.h"

#include <string>
#include <vector>

namespace tymbal {

/// A chip of one device at the middle, both named after the design's file.
[[nodiscard]] ChipDesign chip_of(const Device& device);

/// The chip and its "drawn" entries: what all devices share, then each device with the sizes that are drawn, and that
/// [process] and [release] expect. Chip, dates and files are the caller's to fill in.
[[nodiscard]] RecordAddition drawn(const ChipDesign& chip, const std::string& name);

/// Values of one entry each. Chip, device, dates and files are the caller's to fill in.
[[nodiscard]] RecordEntry predicted(const Prediction& prediction);
[[nodiscard]] RecordEntry patterned(const Pattern& pattern);
[[nodiscard]] RecordEntry planned(const ReleaseReport& report);
/// @param device  of the comparison, from 0
[[nodiscard]] RecordEntry fitted(const Comparison& result, std::size_t device);

}  // namespace tymbal

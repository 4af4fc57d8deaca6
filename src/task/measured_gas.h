// Gas held against a measured Q, not against a predicted one: how much of the loss it can be, and which pressures
// decide.
#pragma once

#include "tymbal/task/compare.h"

#include <optional>

namespace tymbal {

/// Q that gas alone leaves by the budget's terms; empty where gas has no number.
[[nodiscard]] std::optional<QualityBand> gas_quality(const LossBudget& budget);

/// The named peak that gas touches most. Empty without a measured Q, a recorded or designed pressure, or gas.
[[nodiscard]] std::optional<MeasuredGas> judge_gas(const Device& design, const DeviceComparison& device);

/// What follows, as sentences: share of the loss, and the sweep that decides when the share matters.
[[nodiscard]] std::vector<std::string> gas_sentences(const MeasuredGas& gas);

}  // namespace tymbal

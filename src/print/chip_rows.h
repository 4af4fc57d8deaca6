// What tables and pages say of a chip, as texts.
#pragma once

#include "../text/figures.h"
#include "fact.h"

#include "tymbal/task/predict_chip.h"
#include "tymbal/task/release_chip.h"

#include <string>
#include <vector>

namespace tymbal {

/// "1.00, 2.00", mm.
[[nodiscard]] std::string millimetres(Point p);

/// "200 x 150", um.
[[nodiscard]] std::string outline_words(const PredictedDevice& device);

/// "S2 (1,1)".
[[nodiscard]] std::string words(const ModeOnChip& mode);

/// The unit that suits the lowest modes of all devices.
[[nodiscard]] FrequencyUnit unit_of(const ChipPrediction& chip);

/// "4.987 +- 0.099".
[[nodiscard]] std::string frequency_cell(const Mode& mode, const FrequencyUnit& unit);

/// Up to where single modes of the chip are known.
[[nodiscard]] std::string chip_reach_words(double reach_hz);

/// When the bath's common window opens and closes, by whom, and who had better leave the chip.
[[nodiscard]] std::vector<Fact> window_facts(const ChipRelease& chip);

/// One device in the bath: clear at, first limit, over-etch, pillars, lowest frequency; a dash where there is none.
[[nodiscard]] std::vector<std::string> bath_cells(const ReleasedDevice& device);

[[nodiscard]] std::vector<std::string> texts_of(const Warnings& warnings);

/// Warnings of the chip, then of its devices, each once behind the names of the devices that have it; those that differ
/// in their numbers alone are told by the first.
[[nodiscard]] std::vector<std::string> chip_warnings(const ChipPrediction& chip);

}  // namespace tymbal

// The answers for a chip, for people, scripts and the clean room.
#pragma once

#include "tymbal/task/chip_plan.h"
#include "tymbal/task/predict_chip.h"
#include "tymbal/task/release_chip.h"

#include <ostream>
#include <string>
#include <vector>

namespace tymbal {

/// Aligned tables of at most 80 columns.
void write_table(std::ostream& out, const ChipPrediction& chip);
void write_table(std::ostream& out, const ChipRelease& chip);
void write_table(std::ostream& out, const ChipPlan& chip);

/// One row per mode of each device, SI units; what a device cannot have stays empty.
void write_csv(std::ostream& out, const ChipPrediction& chip);

/// Keys are documented in examples/schema/chip-*.json.
void write_json(std::ostream& out, const ChipPrediction& chip);
void write_json(std::ostream& out, const ChipRelease& chip);
void write_json(std::ostream& out, const ChipPlan& chip);

/// What must stand beside the chip's times: the cautions of all its devices, each once.
[[nodiscard]] std::vector<std::string> chip_cautions(const ChipRelease& chip);

/// One printable page of HTML for the chip's bath, with its cautions.
void write_run_sheet(std::ostream& out, const ChipRelease& chip);

}  // namespace tymbal

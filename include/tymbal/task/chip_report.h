// `tymbal report` of a chip: everything that the page about all its devices shows, as plain data.
#pragma once

#include "tymbal/task/chip_design.h"
#include "tymbal/task/predict_chip.h"
#include "tymbal/task/release_chip.h"

#include <optional>
#include <string>

namespace tymbal {

struct ChipReport {
    ChipDesign chip;  ///< to be drawn: devices without an answer have no holes, which may not fit
    ChipPrediction prediction;
    std::optional<ChipRelease> release;  ///< where every device has [release]
    std::string release_missing;         ///< why there is none
};

/// A device without an answer does not stop the others. @throws NoAnswer when none has one
[[nodiscard]] ChipReport report_chip(const ChipDesign& chip, const Materials& materials, const ChipEffort& effort,
                                     const Progressed& progressed = {});

}  // namespace tymbal

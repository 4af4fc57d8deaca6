// The measurement plan of a chip: one plan a device, in the order of the chip file.
#pragma once

#include "tymbal/task/chip_design.h"
#include "tymbal/task/plan.h"
#include "tymbal/task/progressed.h"

#include <optional>
#include <string>
#include <vector>

namespace tymbal {

struct DevicePlan {
    std::string name;
    std::optional<Plan> plan;
    std::string why;  ///< the device has no plan
};

struct ChipPlan {
    std::string title, sha256;
    std::vector<DevicePlan> devices;
};

/// A device without an answer does not stop the others. Unit cells are solved once per shape.
/// @param threads  numbers do not depend on it
[[nodiscard]] ChipPlan plan_chip(const ChipDesign& chip, const Materials& materials, const PlanOptions& options,
                                 unsigned threads, const Progressed& progressed = {}, const SolveEffort& large = {});

}  // namespace tymbal

// The measurement plan of a chip: one plan a device, in the order of the chip file.
#pragma once

#include "tymbal/task/plan.h"

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

}  // namespace tymbal

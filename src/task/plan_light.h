// The parts of the plan that concern light and heat.
#pragma once

#include "tymbal/task/plan.h"
#include "tymbal/task/solved.h"

namespace tymbal {

/// @throws NoAnswer when the substrate's row has no index
[[nodiscard]] std::optional<LightPlan> plan_light(const Device& device, const Materials& materials, Warnings& warnings);

/// Heat per absorbed watt under the readout's spot.
[[nodiscard]] Heating heat_at_spot(const Device& device, const SolvedDesign& solved);

[[nodiscard]] std::optional<HeatPlan> plan_heat(const Device& device, const Materials& materials,
                                                const SolvedDesign& solved, const std::optional<LightPlan>& light);

}  // namespace tymbal

// Whole results as JSON, which a chip holds one a device of.
#pragma once

#include "json_parts.h"

#include "tymbal/task/plan.h"
#include "tymbal/task/release_report.h"

namespace tymbal {

[[nodiscard]] Json prediction_json(const Prediction& prediction);
[[nodiscard]] Json prediction_json(const UnstablePrediction& prediction);
[[nodiscard]] Json release_json(const ReleaseReport& report);
[[nodiscard]] Json plan_json(const Plan& plan);

}  // namespace tymbal

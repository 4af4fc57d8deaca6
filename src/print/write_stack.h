// What light's output says of the film over gap and substrate.
#pragma once

#include "json_parts.h"

#include "tymbal/task/light.h"

#include <ostream>

namespace tymbal {

/// @param report  with a stack
void write_stack(std::ostream& out, const LightReport& report);

/// null without one
[[nodiscard]] Json stack_json(const LightReport& report);
[[nodiscard]] Json line_over_gap_json(const LightLine& line);

}  // namespace tymbal

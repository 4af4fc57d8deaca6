// The measurement plan for people and for scripts.
#pragma once

#include "tymbal/task/plan.h"

#include <ostream>
#include <string>
#include <vector>

namespace tymbal {

/// What must stand wherever light and vacuum are spoken of: they defer to local rules and trained staff.
[[nodiscard]] std::vector<std::string> measurement_cautions();

/// Aligned tables of at most 80 columns; every width, spectrum and time names its convention.
void write_table(std::ostream& out, const Plan& plan);

/// For each figure: formula and reference; then the inputs with their sources.
void write_explanation(std::ostream& out, const Plan& plan);

/// One row per mode, SI units, names in the first line.
void write_csv(std::ostream& out, const Plan& plan);

/// Keys are documented in examples/schema; a figure that does not apply is null.
void write_json(std::ostream& out, const Plan& plan);

}  // namespace tymbal

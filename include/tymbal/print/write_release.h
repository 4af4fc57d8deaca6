// The release report for people, for scripts, and as a sheet of paper for the clean room.
#pragma once

#include "tymbal/task/release_report.h"

#include <ostream>
#include <string>
#include <vector>

namespace tymbal {

/// What must stand wherever times in acid or drying choices are printed: general cautions that defer to local rules and
/// trained staff. Those of hydrofluoric acid stand unless another etchant is named.
[[nodiscard]] std::vector<std::string> release_cautions(const ReleaseReport& report);

/// Aligned tables of at most 80 columns.
void write_table(std::ostream& out, const ReleaseReport& report);

/// For each figure: formula and reference; then the inputs with their sources.
void write_explanation(std::ostream& out, const ReleaseReport& report);

/// Keys are documented in examples/schema; a figure that does not apply is null.
void write_json(std::ostream& out, const ReleaseReport& report);

/// One printable page of HTML, without scripts and without requests: expected figures, blank fields for what was done,
/// cautions.
void write_run_sheet(std::ostream& out, const ReleaseReport& report);

}  // namespace tymbal

// How many modes a comparison solves: those that reach well above the highest peak.
#pragma once

#include "tymbal/fit/line_model.h"
#include "tymbal/task/predict.h"

namespace tymbal {

/// Told by the film alone, before anything is solved: Weyl's count of a film in even tension, the hole field's
/// everywhere. @return 0 where no lattice's average tells the film, or where modes around a frequency are asked for
[[nodiscard]] int modes_expected(const Device& device, const CellSolver& cells, double highest_peak_hz);

/// From the solved lines: the first `asked` of them go on as Weyl counts. At least `asked`.
[[nodiscard]] int modes_needed(const LineModel& lines, int asked, double highest_peak_hz);

}  // namespace tymbal

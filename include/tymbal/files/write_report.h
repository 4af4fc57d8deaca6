// The report: one page of HTML about one design, complete in itself.
#pragma once

#include "tymbal/files/sweep_table.h"
#include "tymbal/task/report.h"

#include <optional>
#include <ostream>

namespace tymbal {

/// A sweep that the report shows as well.
struct ReportedSweep {
    SweepTable table;
    int mode = 1;  ///< place of the mode whose figures are drawn
};

/// Asks no other machine or file for anything; all pictures are there without scripts. The same bytes for the same
/// report.
void write_report(std::ostream& out, const Report& report, const std::optional<ReportedSweep>& sweep = {});

}  // namespace tymbal

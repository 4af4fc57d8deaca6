// The report: one page of HTML about one design or chip, complete in itself.
#pragma once

#include "tymbal/print/sweep_table.h"
#include "tymbal/record/record_file.h"
#include "tymbal/task/chip_report.h"
#include "tymbal/task/report.h"

#include <optional>
#include <ostream>
#include <string>

namespace tymbal {

/// A sweep that the report shows as well.
struct ReportedSweep {
    SweepTable table;
    int mode = 1;  ///< place of the mode whose figures are drawn
};

/// Asks no other machine or file for anything; all pictures are there without scripts. The same bytes for the same
/// report.
void write_report(std::ostream& out, const Report& report, const std::optional<ReportedSweep>& sweep = {});

/// What the record knows of the chip.
struct ReportedRecord {
    RecordContents contents;  ///< with this chip's entries
    std::string chip;         ///< its name there
};

/// The same promises; devices are coloured on the map by their lowest modes.
void write_report(std::ostream& out, const ChipReport& report, const std::optional<ReportedRecord>& record = {});

}  // namespace tymbal

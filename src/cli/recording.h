// --record: commands add what they did to the record of chips.
#pragma once

#include "tymbal/page/write_report.h"
#include "tymbal/read/design.h"
#include "tymbal/record/entry.h"
#include "tymbal/record/record_file.h"

#include <CLI/CLI.hpp>

#include <optional>
#include <string>
#include <vector>

namespace tymbal {

struct Recording {
    std::string file;  ///< empty: nothing is recorded
    std::string chip;  ///< empty: the one that was drawn from the design
};

/// --record and --record-chip.
void add_recording(CLI::App& command, Recording& recording);

/// Now, UTC: the program's only look at the clock.
[[nodiscard]] std::string now_utc();
[[nodiscard]] RecordWriter record_writer();

/// What record_entries would refuse for its options, to be said before anything is computed.
/// @param targets  of results, none of which is the record
void require_recordable(const Recording& recording, const std::string& design,
                        const std::vector<std::string>& targets = {});

struct DesignEntries {
    std::string design;  ///< the design or chip file that the entries are about
    std::vector<RecordEntry> entries;
};

/// Nothing without a file; else all of it in one transaction. The entries get chip, device, date and the design as a
/// kept file; a chip that is not in the record yet is added first. What was recorded is said on standard error unless
/// `quiet`.
void record_entries(const Recording& recording, std::vector<DesignEntries> all, const Materials& materials,
                    const ReadLimits& limits, bool quiet);

/// What the record knows of the chip, which must be in it; nothing without a file.
[[nodiscard]] std::optional<ReportedRecord> recorded_chip(const Recording& recording, const std::string& chip);

/// "record.db: added entries 4 to 7"; to standard error what the disk made of it.
void say_recorded(std::ostream& out, const std::string& file, const RecordAdded& added);

}  // namespace tymbal

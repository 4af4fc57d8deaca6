// What the record knows of one chip, as texts for tables and pages.
#pragma once

#include "fact.h"

#include "tymbal/record/record_file.h"

#include <string>
#include <vector>

namespace tymbal {

/// A device from drawing to fit: the last figure of each step with its deviation, a dash where nothing is recorded.
/// Hole widths and undercut in um, frequencies in MHz, stress in MPa.
struct RecordRow {
    std::string device;  ///< "(all)": the chip's own entries
    std::string drawn, printed, etched, undercut, measured;
    std::string inspection, released, predicted, quality, stress;
};

/// @param record  with that chip
[[nodiscard]] const RecordedChip& chip_in(const RecordContents& record, const std::string& name);

/// Each device, then the chip. @param entries  of the chip, corrected, in the order of their dates
[[nodiscard]] std::vector<RecordRow> record_rows(const RecordedChip& chip, const std::vector<RecordEntry>& entries);

/// Film, wafer, bath, mount: what is recorded of the whole chip, or of its only device.
[[nodiscard]] std::vector<Fact> shared_facts(const RecordedChip& chip, const std::vector<RecordEntry>& entries);

/// The last entries, in their order.
[[nodiscard]] std::vector<RecordEntry> latest(const std::vector<RecordEntry>& all);

/// Values, note and files of an entry in one line.
[[nodiscard]] std::string entry_words(const RecordEntry& entry);

}  // namespace tymbal

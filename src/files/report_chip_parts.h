// Sections of the page about a chip, each written by a file of its own.
#pragma once

#include "tymbal/files/write_report.h"

#include <ostream>

namespace tymbal {

// report_chip_devices.cpp
/// A card a device: picture, figures, lowest modes, warnings.
void write_cards_section(std::ostream& out, const ChipReport& report);

// report_chip_release.cpp
void write_bath_section(std::ostream& out, const ChipRelease& release);

// report_chip_tables.cpp
void write_devices_section(std::ostream& out, const ChipReport& report);
void write_neighbours_section(std::ostream& out, const ChipPrediction& chip);
void write_record_section(std::ostream& out, const ReportedRecord& record);
void write_chip_inputs_section(std::ostream& out, const ChipPrediction& chip);

}  // namespace tymbal

// Sections of the page about a chip, each written by a file of its own.
#pragma once

#include "report_figures.h"

#include "tymbal/page/write_report.h"

#include <ostream>

namespace tymbal {

// report_chip_devices.cpp
/// A card a device: picture, figures, lowest modes, warnings.
void write_cards_section(std::ostream& out, const ChipReport& report);

// report_chip_shapes.cpp
/// What a page of so many devices shows of each.
[[nodiscard]] std::size_t shapes_of_each(std::size_t devices);
/// Small pictures of a device's lowest modes, so many at most. @param device  with modes
void write_card_shapes(std::ostream& out, const ChipDevice& device, const Prediction& prediction, std::size_t most);

// report_chip_release.cpp
void write_bath_section(std::ostream& out, const ChipRelease& release);

// report_chip_tables.cpp
void write_devices_section(std::ostream& out, const ChipReport& report);
void write_neighbours_section(std::ostream& out, const ChipPrediction& chip);
void write_record_section(std::ostream& out, const ReportedRecord& record);
void write_chip_inputs_section(std::ostream& out, const ChipPrediction& chip);

}  // namespace tymbal

// The report's sections, each written by a file of its own.
#pragma once

#include "svg_shapes.h"

#include "tymbal/print/sweep_table.h"
#include "tymbal/task/report.h"

#include <optional>
#include <ostream>
#include <string>

namespace tymbal {

// report_design.cpp
void write_drawing_section(std::ostream& out, const Report& report);

// report_tables.cpp
void write_film_section(std::ostream& out, const Report& report);
void write_mode_table_section(std::ostream& out, const Report& report);
void write_tolerance_section(std::ostream& out, const Report& report);
void write_limits_section(std::ostream& out, const Report& report);
void write_inputs_section(std::ostream& out, const Report& report);

// report_modes.cpp
void write_shapes_section(std::ostream& out, const Report& report);

// report_stress.cpp
void write_stress_section(std::ostream& out, const Report& report);
/// The same stress at every place: nothing for a map to show.
[[nodiscard]] bool stress_is_even(const Report& report);
/// The stress that map and pointer show: of each cell, or, where resolved holes are too fine to be seen one by one, the
/// largest within half a pitch.
[[nodiscard]] Raster shown_stress(const Report& report, const Frame& frame);

// report_losses.cpp
void write_losses_section(std::ostream& out, const Report& report);

// report_release.cpp
void write_release_section(std::ostream& out, const ReleaseReport& release);

// report_light.cpp
void write_light_section(std::ostream& out, const LightReport& light);

// report_cavity.cpp
void write_cavity_section(std::ostream& out, const CavityReport& cavity);

// report_compare.cpp
void write_measured_section(std::ostream& out, const Comparison& comparison);

// report_sweep.cpp
/// @param mode  place of the mode whose figures are drawn, from 1
void write_sweep_section(std::ostream& out, const SweepTable& sweep, int mode, const std::string& design_sha256);

// report_fields.cpp
/// The values behind the pictures, for the script: JSON, numbers of 16 bits in base64.
void write_field_data(std::ostream& out, const Report& report);

/// "4.874 +- 0.093 MHz"
[[nodiscard]] std::string frequency_text(const Mode& mode);

}  // namespace tymbal

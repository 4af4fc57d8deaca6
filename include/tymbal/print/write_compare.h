// A comparison for people, for programs and as a picture, and the design it leads to.
#pragma once

#include "tymbal/task/compare.h"

#include <ostream>
#include <string>

namespace tymbal {

/// Aligned tables of at most 80 columns.
void write_table(std::ostream& out, const Comparison& comparison);

/// For each figure: formula and reference; then the inputs of each device with their sources.
void write_explanation(std::ostream& out, const Comparison& comparison);

/// Keys are documented in examples/schema; a figure that does not apply is null.
void write_json(std::ostream& out, const Comparison& comparison);

/// One row per peak of all devices, SI units, names in the first line. A device of a chip has its name, others a
/// number.
void write_csv(std::ostream& out, const Comparison& comparison);

/// Sticks of the measured peaks against those of the fitted modes, residuals below; one pair of panels per device.
void write_svg(std::ostream& out, const Comparison& comparison);

/// The text of a device's design with the fitted film in place of its own: stress, and what the devices share of
/// undercut, edges and hole size; every other line stays.
/// @param text    the design file of device `which`
/// @throws InputError when a section to be changed is not written as a table such as [film]
[[nodiscard]] std::string fitted_design(const std::string& text, const Comparison& comparison, std::size_t which = 0);

/// The text of a chip file with the fitted film in its shared sections: stress, and the undercut where the file gives
/// it; a gradient of the stress as a comment.
/// @throws InputError when the chip's film.stress stands in the devices' designs
[[nodiscard]] std::string fitted_chip(const std::string& text, const std::string& path, const Comparison& comparison);

}  // namespace tymbal

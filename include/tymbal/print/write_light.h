// What light sees of the released film, for people and for scripts.
#pragma once

#include "tymbal/task/light.h"
#include "tymbal/task/tune_line.h"

#include <ostream>

namespace tymbal {

/// Aligned tables of at most 80 columns.
void write_table(std::ostream& out, const LightReport& report);

/// The spectrum: one row per wavelength, SI units, names in the first line.
void write_csv(std::ostream& out, const LightReport& report);

/// The spectrum with laser and lines as an SVG picture.
void write_plot(std::ostream& out, const LightReport& report);

/// Formula, reference and inputs of each figure.
void write_explanation(std::ostream& out, const LightReport& report);

/// What an etch does to a line, with the cautions.
void write_table(std::ostream& out, const TuneReport& report);
void write_json(std::ostream& out, const TuneReport& report);

/// SI units; a figure that does not apply is null.
void write_json(std::ostream& out, const LightReport& report);

}  // namespace tymbal

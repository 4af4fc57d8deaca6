// What light sees of the released film, for people and for scripts.
#pragma once

#include "tymbal/task/light.h"

#include <ostream>

namespace tymbal {

/// Aligned tables of at most 80 columns.
void write_table(std::ostream& out, const LightReport& report);

/// The spectrum: one row per wavelength, SI units, names in the first line.
void write_csv(std::ostream& out, const LightReport& report);

/// SI units; a figure that does not apply is null.
void write_json(std::ostream& out, const LightReport& report);

}  // namespace tymbal

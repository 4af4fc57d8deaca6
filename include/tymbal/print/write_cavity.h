// The film in its cavity as tables for people, JSON and CSV for programs, and a picture of the resonance.
#pragma once

#include "tymbal/task/cavity.h"

#include <ostream>
#include <string>
#include <vector>

namespace tymbal {

void write_table(std::ostream& out, const CavityReport& report);
/// One row per mode.
void write_csv(std::ostream& out, const CavityReport& report);
void write_json(std::ostream& out, const CavityReport& report);
/// Shift, coupling and widths along half a wavelength as SVG.
void write_plot(std::ostream& out, const CavityReport& report);
void write_explanation(std::ostream& out, const CavityReport& report);

/// What light in a cavity asks for, wherever its power is spoken of.
[[nodiscard]] std::string cavity_light_caution();
/// What lasers and vacuum ask for at the bench; local rules and trained staff decide.
[[nodiscard]] std::vector<std::string> cavity_cautions();

}  // namespace tymbal

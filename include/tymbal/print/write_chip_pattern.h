// A drawn chip as report for people, as JSON, and as the file for the mask writer.
#pragma once

#include "tymbal/print/write_pattern.h"
#include "tymbal/task/chip_pattern.h"

#include <ostream>

namespace tymbal {

void write_table(std::ostream& out, const ChipPattern& chip);

/// Keys are documented in examples/schema; SI units.
void write_json(std::ostream& out, const ChipPattern& chip, const LayerNumbers& layers = usual_layers);

/// @param layers  of a GDSII file; a .csv lists the devices
void write_pattern(std::ostream& out, const ChipPattern& chip, PatternFormat format,
                   const LayerNumbers& layers = usual_layers);

}  // namespace tymbal

// Circumstances of a measurement from the comments and the preamble above its table.
#pragma once

#include "../text/csv_rows.h"

#include "tymbal/read/read_measured.h"

namespace tymbal {

/// Takes over what a line `key: value`, `key = value` or `key,value` records; other lines are left alone. A value that
/// cannot be read is told in the notes. "resolution" and "frequency" go to the spectrum and the decay.
void read_condition(std::string_view line, Measured& into);

}  // namespace tymbal

// Where the table of a measured file begins: the line that names its columns, plain or behind a comment mark.
#pragma once

#include "measured_columns.h"

namespace tymbal {

/// The header, with factors to SI units; the rows stand after it then. Conditions that the lines above record go
/// `into`.
/// @throws InputError when no line names a column for frequency or time
[[nodiscard]] Header find_header(CsvRows& rows, Measured& into);

}  // namespace tymbal

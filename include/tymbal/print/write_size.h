// The answer of `tymbal size`: lines for the design file, what they lead to and how far they may be off.
#pragma once

#include "tymbal/task/size.h"

#include <ostream>

namespace tymbal {

void write_table(std::ostream& out, const SizedDesign& sized);

/// For each figure: formula and reference; then the inputs with their sources.
void write_explanation(std::ostream& out, const SizedDesign& sized);

/// Keys are documented in examples/schema.
void write_json(std::ostream& out, const SizedDesign& sized);

}  // namespace tymbal

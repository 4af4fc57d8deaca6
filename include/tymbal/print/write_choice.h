// The answer of `tymbal choose`: what is feasible, what trades against what, what to take and why.
#pragma once

#include "tymbal/task/choose.h"

#include <ostream>

namespace tymbal {

void write_table(std::ostream& out, const Choice& choice);

/// For each figure: formula and reference; then the inputs with their sources.
void write_explanation(std::ostream& out, const Choice& choice);

/// Keys are documented in examples/schema.
void write_json(std::ostream& out, const Choice& choice);

/// The Pareto set, one row each: the changed keys, then figures.
void write_csv(std::ostream& out, const Choice& choice);

}  // namespace tymbal

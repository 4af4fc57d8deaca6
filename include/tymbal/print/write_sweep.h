// A sweep for people, programs and the eye: table, JSON, picture.
#pragma once

#include "tymbal/print/sweep_table.h"

#include <ostream>

namespace tymbal {

/// @param mode  place of the mode to show, from 1
void write_table(std::ostream& out, const SweepTable& table, int mode);

/// Rows as objects with the names of the columns; keys are documented in examples/schema.
void write_json(std::ostream& out, const SweepTable& table);

/// @throws InputError when no axis has numbers that write_plot could draw over
void require_plottable(const SweepGrid& grid);

/// Frequency, Q, stresses, static stiffness, release time and reflectivity over the fill factor if it is varied, else
/// over the first axis with numbers; one curve for each value of the other axes.
/// @throws InputError when no axis has numbers
void write_plot(std::ostream& out, const SweepTable& table, int mode);

}  // namespace tymbal

// A prediction for people: aligned tables of at most 80 columns.
#pragma once

#include "tymbal/task/predict.h"

#include <ostream>

namespace tymbal {

void write_table(std::ostream& out, const Prediction& prediction);

/// One row per mode, SI units, comma-separated, names in the first line.
void write_csv(std::ostream& out, const Prediction& prediction);

/// For each figure: formula, where the inputs come from, reference and degree of trust.
void write_explanation(std::ostream& out, const Prediction& prediction);

/// The material table, or one row of it. @throws InputError for an unknown row, with the nearest name
void write_materials(std::ostream& out, const Materials& materials, const std::string& row);

}  // namespace tymbal

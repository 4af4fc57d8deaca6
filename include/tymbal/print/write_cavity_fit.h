// Coupling found from spring and damping: tables for people, JSON and CSV for programs, and a picture.
#pragma once

#include "tymbal/task/cavity_fit.h"

#include <ostream>

namespace tymbal {

void write_table(std::ostream& out, const CavityFit& fit);
/// One row per detuning.
void write_csv(std::ostream& out, const CavityFit& fit);
void write_json(std::ostream& out, const CavityFit& fit);
/// Frequency and width against detuning, measured and fitted, as SVG.
void write_plot(std::ostream& out, const CavityFit& fit);
void write_explanation(std::ostream& out, const CavityFit& fit);

}  // namespace tymbal

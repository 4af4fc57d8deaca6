// The film of a wafer for people and for scripts.
#pragma once

#include "tymbal/task/wafer.h"

#include <ostream>

namespace tymbal {

void write_table(std::ostream& out, const WaferFilm& film);

/// For each figure: formula and reference; then the inputs with their sources.
void write_explanation(std::ostream& out, const WaferFilm& film);

/// One row per die with its forecast; empty but for the header without a forecast.
void write_csv(std::ostream& out, const WaferFilm& film);
void write_json(std::ostream& out, const WaferFilm& film);

}  // namespace tymbal

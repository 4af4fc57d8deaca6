// Results as JSON with stable keys and SI units.
#pragma once

#include "tymbal/task/predict.h"

#include <ostream>

namespace tymbal {

/// Keys are documented in examples/schema; a figure that does not apply is null.
void write_json(std::ostream& out, const Prediction& prediction);
/// The same keys where they apply: `film.stable` is false, `modes` is empty.
void write_json(std::ostream& out, const UnstablePrediction& prediction);
void write_json(std::ostream& out, const Materials& materials, const std::string& row);

/// SHA-256 of the table's values and sources, hex: what a result was made with.
[[nodiscard]] std::string fingerprint(const Materials& materials);

}  // namespace tymbal

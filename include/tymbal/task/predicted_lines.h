// The modes of a solved design as lines that a fit may move.
#pragma once

#include "tymbal/fit/line_model.h"
#include "tymbal/task/solved.h"

namespace tymbal {

/// Frequencies, their parts and their weights on every input that carries an uncertainty, outline sizes always; the
/// last input, "numerics", is the error that all frequencies share.
[[nodiscard]] LineModel predicted_lines(const Device& device, const SolvedDesign& solved);

}  // namespace tymbal

// A lattice of the same open fraction that the mask writer can print.
#pragma once

#include "tymbal/task/pattern.h"

namespace tymbal {

/// The least coarsening at which hole and gap can both be printed: biases stay what they are while the lattice grows.
/// Empty for lists and where none will do. @param drawn  sizes and grid of the pattern as wanted
[[nodiscard]] std::optional<PatternProposal> coarser_lattice(const Device& device, const PatternOptions& options,
                                                             const Pattern& drawn);

}  // namespace tymbal

// The film over gap and substrate as `light` tells it.
#pragma once

#include "tymbal/base/material.h"
#include "tymbal/task/light.h"

namespace tymbal {

/// Does the design say what lies below the film, and how far, and is its index known?
[[nodiscard]] bool has_stack(const Device& device, const Materials& materials);

/// At the readout's wavelength. @param device  one with a stack
/// @throws NoAnswer  as respond of hole_lattice.h
[[nodiscard]] StackLight see_stack(const Device& device, const Materials& materials);

/// What the substrate does to the lines of the film alone.
void see_lines_over_gap(const Device& device, const Materials& materials, const LightOptions& options,
                        std::vector<LightLine>& lines);

}  // namespace tymbal

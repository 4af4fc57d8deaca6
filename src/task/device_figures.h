// What one device gives to a drawing: its holes and openings as cells, their sizes and checks.
#pragma once

#include "tymbal/task/pattern.h"

namespace tymbal {

/// Step of the address grid in database units; 1 when the design has none.
[[nodiscard]] int address_grid(const Device& device);
/// 0 when the design has none.
[[nodiscard]] double least_feature_m(const Device& device);
/// Of an edge, from drawn to released, by the biases: one sigma, m.
[[nodiscard]] double growth_deviation(const Device& device);

/// Adds the device's cells, the last of which is the whole device, and what there is to say about them. `out` has its
/// grid. @throws NoAnswer see draw_pattern
void draw_device(const Device& device, const PatternOptions& options, Pattern& out);

/// What the etch will have set free counts as its box: witnesses are smaller rectangles of the same pattern.
[[nodiscard]] Outline plain_outline(const Device& device);

/// What witnesses of a device with holes are made from. @param drawn  its pattern
[[nodiscard]] WitnessBasis witness_basis(const Device& device, const Pattern& drawn, int most_corners);

[[nodiscard]] PatternCheck width_check(const char* name, double width_m, double limit_m);

}  // namespace tymbal

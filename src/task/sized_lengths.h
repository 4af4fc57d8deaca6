// The lengths of a design that sizing moves, as keys of its file.
#pragma once

#include "tymbal/task/size.h"

namespace tymbal {

/// A tenth of a nanometre: finer than any writer's grid.
[[nodiscard]] double rounded_length(double metres);

/// Keys of [outline] and [holes] whose lengths differ.
[[nodiscard]] std::vector<SizedLength> sized_lengths(const Device& before, const Device& after);

/// Changes that write `after` with rounded lengths, lists whole. Holes of a file cannot be written.
[[nodiscard]] Changes written_lengths(const Device& before, const Device& after);

/// The same changes as a design file holds them: derived keys as the lengths they stand for, holes.field as two sides.
[[nodiscard]] Changes as_written(const Device& before, const Device& after, const Changes& changes);

/// Logarithms of the least and largest scale that the design's [free] leaves, a thousandth to a thousand without it.
/// @throws NoAnswer when [free] leaves none
[[nodiscard]] std::array<double, 2> scale_bounds(const Device& device, Sizing sizing);

}  // namespace tymbal

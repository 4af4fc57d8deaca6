// The lengths of a design that sizing moves, as keys of its file.
#pragma once

#include "tymbal/task/size.h"

namespace tymbal {

/// A tenth of a nanometre: finer than any writer's grid.
[[nodiscard]] double rounded_length(double metres);

/// Keys of [outline] and [holes] whose lengths differ.
[[nodiscard]] std::vector<SizedLength> sized_lengths(const Design& before, const Design& after);

/// Changes that write `after` with rounded lengths; empty where lists of points move, which no single keys hold.
[[nodiscard]] Changes written_lengths(const Design& before, const Design& after, Sizing sizing);

/// Logarithms of the least and largest scale that the design's [free] leaves, a thousandth to a thousand without it.
/// @throws NoAnswer when [free] leaves none
[[nodiscard]] std::array<double, 2> scale_bounds(const Design& design, Sizing sizing);

}  // namespace tymbal

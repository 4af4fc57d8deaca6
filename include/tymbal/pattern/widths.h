// The narrowest places of a drawing: least width of a figure, least film between two.
#pragma once

#include "tymbal/pattern/hole_figure.h"
#include "tymbal/pattern/opening_figures.h"

#include <vector>

namespace tymbal {

/// Metres; infinite where there is none.
struct LeastWidths {
    double width_m = 0.0;  ///< between two edges of one region that face each other (within 60 degrees) across it
    double gap_m = 0.0;    ///< between two regions, or two edges of one that face each other across what is left
};

[[nodiscard]] LeastWidths least_widths(const std::vector<DrawnRegion>& regions);

/// Least solid width between any copy of the hole and any region, m; zero when they meet.
[[nodiscard]] double least_gap_m(const HoleFigure& hole, const std::vector<DrawnPoint>& sites,
                                 const std::vector<DrawnRegion>& regions);

}  // namespace tymbal

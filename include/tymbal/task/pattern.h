// What to draw for the mask writer so that the released holes come out as the design names them.
#pragma once

#include "tymbal/base/warning.h"
#include "tymbal/pattern/chip_layout.h"
#include "tymbal/pattern/hole_figure.h"
#include "tymbal/task/predict.h"

#include <algorithm>
#include <optional>
#include <string>
#include <vector>

namespace tymbal {

struct PatternOptions {
    std::vector<Witness> witnesses;
    int most_corners = most_corners_of_old_readers;  ///< of one figure
    std::string label;                               ///< empty: the design's title and the start of its fingerprint
};

/// A drawn width against what the mask writer can print.
struct PatternCheck {
    std::string name;  ///< "least width" or "least gap"
    double width_m = 0.0;
    std::optional<double> limit_m;
    bool held = true;
};

/// Hole and pitch of the same open fraction that the writer can print.
struct PatternProposal {
    double hole_m = 0.0, pitch_m = 0.0;             ///< hole as released, like the design's
    double least_width_m = 0.0, least_gap_m = 0.0;  ///< as they would be drawn
    double clears_at_m = 0.0;                       ///< undercut that clears such a lattice
};

struct Pattern {
    std::string title;
    std::string sha256;
    HoleShape shape = HoleShape::circle;
    HoleSizes sizes;    ///< as wanted; what snapping adds is figure.width_m - sizes.drawn.width
    HoleFigure figure;  ///< as drawn
    long hole_count = 0;
    std::size_t placements = 0;  ///< rows, arrays and single references that hold the holes
    int grid = 1;                ///< address grid, database units
    double largest_shift_m = 0.0;
    std::vector<PatternCheck> checks;
    std::optional<PatternProposal> proposal;  ///< when a check is broken on a lattice
    [[nodiscard]] bool printable() const {
        return std::all_of(checks.begin(), checks.end(), [](const PatternCheck& c) { return c.held; });
    }
    int crosses = 0;
    std::string label;  ///< as drawn
    std::vector<PlacedWitness> witnesses;
    Drawing drawing;             ///< origin: that of the design
    std::size_t holes_cell = 0;  ///< the membrane's holes
    std::vector<SourceLine> sources;
    Warnings warnings;
};

/// @throws NoAnswer for a film without holes, drawn holes that meet, a grid too coarse, witnesses without room or chip
[[nodiscard]] Pattern draw_pattern(const Device& device, const PatternOptions& options);

}  // namespace tymbal

// What to draw for the mask writer so that the released holes come out as the design names them.
#pragma once

#include "tymbal/base/warning.h"
#include "tymbal/pattern/chip_layout.h"
#include "tymbal/pattern/hole_figure.h"
#include "tymbal/pattern/opening_figures.h"
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

/// What is drawn as openings.
struct DrawnOpenings {
    std::size_t wanted = 0;   ///< openings of the design, or the two sides of a strip
    std::size_t holes = 0;    ///< that meet an opening and are drawn as part of it
    std::size_t figures = 0;  ///< in the file, after parting at the limit of corners
    double growth_m = 0.0;    ///< per edge, from drawn to released
    double growth_deviation_m = 0.0;
    double released_area_m2 = 0.0, drawn_area_m2 = 0.0;  ///< together, overlaps once
    std::vector<DrawnRegion> regions;
};

struct Pattern {
    std::string title;
    std::string sha256;
    HoleShape shape = HoleShape::circle;
    HoleSizes sizes;      ///< as wanted; what snapping adds is figure.width_m - sizes.drawn.width
    HoleFigure figure;    ///< as drawn
    long hole_count = 0;  ///< of those drawn as copies of the figure; 0: the fields above and below say nothing
    std::optional<DrawnOpenings> openings;
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
    std::size_t holes_cell = 0;  ///< the membrane's holes, where there are any
    std::vector<SourceLine> sources;
    Warnings warnings;
};

/// @throws NoAnswer for a film without holes or openings, figures that meet, a grid too coarse, witnesses without room
/// or chip
[[nodiscard]] Pattern draw_pattern(const Device& device, const PatternOptions& options);

}  // namespace tymbal

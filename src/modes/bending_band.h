// What a mode's bending energy may be, from how it settles on the grids and from where the clamped layer meets corners.
//
// Where the rim turns into the film, or a free edge of an opening comes to the rim, the slope of a shape that follows
// tension has no limit: it goes as r^(pi/w - 1), w the angle of the film, so that the energy of the layer within r goes
// as r^(2 pi/w - 1) (membrane corners: Strang and Fix, An Analysis of the Finite Element Method, ch. 8, from memory).
// No grid sees the last cells before the corner, and nearer than the layer's own thickness there is no layer. The band
// leaves all that is met within a few cells of such corners open, either way. The curvature at corners of free edges
// grows without limit, too, as the grid is refined; in the film it stops where bending begins to carry, a layer's
// thickness away: the band reaches to what the growth seen on the grids makes of that length.
#pragma once

#include "tymbal/modes/find_modes.h"

#include <vector>

namespace tymbal {

/// Which of rim_touches(grid, ...) lie within a few cells of a corner of the rim that turns into the film, or of an
/// opening. Empty: none can. @param shift  of the grid's rim against `rim`, m
/// @param film  part of each cell that is film; empty: all
[[nodiscard]] std::vector<bool> doubtful_touches(const Boundary& rim, const Grid& grid, double shift,
                                                 const std::vector<double>& film);

/// Parts of a mode's elastic energy on one grid.
struct BendingParts {
    double interior = 0.0, edge = 0.0;
    double doubtful = 0.0;  ///< of `edge`: near corners
};

/// The two finest grids, and what the curvature may settle on.
struct BendingSeen {
    BendingParts before, here;
    double ratio = 1.0;           ///< spacing before over spacing here
    double layers_in_cell = 0.0;  ///< resolved openings: spacing here over the layer's thickness; else 0
};

struct BendingBand {
    double low = 0.0, high = 0.0;
    bool rough = false;  ///< an order of magnitude
};

/// @param value  interior and edge as they are reported, see ModeIntegrals
[[nodiscard]] BendingBand bending_band(const BendingParts& value, const BendingSeen& seen);

/// Warns of modes whose bending is known to an order of magnitude only.
void warn_of_bending(ModeSet& set);

}  // namespace tymbal

// What the wet etch takes off the film: everywhere from above, and from below wherever the front has passed.
#pragma once

#include "tymbal/geometry/front.h"
#include "tymbal/release/etch.h"

namespace tymbal {

/// Losses of thickness, m, for one etch.
struct FilmLoss {
    double above = 0.0;            ///< upper face, everywhere; also how far the walls of the holes recede
    double below_at_holes = 0.0;   ///< lower face at the edge of the holes: open from the beginning
    double below_mean = 0.0;       ///< lower face, mean over the suspended film; nothing at the clamped edge
    double relative_spread = 0.0;  ///< one sigma of each, from both rates
    [[nodiscard]] double mean() const { return above + below_mean; }
};

/// @param time_known  the time is given and not worked out from the undercut, so only the film's rate spreads the loss
/// The mean over the lower face is int_0^u A(u') t'(u') du' / A(u), A the film set free at undercut u' and t the time
/// it takes (integration by parts of the time since the front has passed); Simpson's rule on eight intervals, which is
/// good to 1e-3 of the loss (tests/release).
[[nodiscard]] FilmLoss film_loss(const PlacedHoles& holes, const EtchPair& pair, double undercut, bool time_known);

}  // namespace tymbal

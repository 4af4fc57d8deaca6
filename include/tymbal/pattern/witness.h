// Witnesses: figures beside the membrane that tell afterwards what the process did to it.
#pragma once

#include "tymbal/geometry/holes.h"
#include "tymbal/pattern/hole_figure.h"

#include <string>
#include <vector>

namespace tymbal {

enum class Witness {
    undercut_ruler,  ///< strips of rising width between slots: the widest that came free tells the undercut
    hole_ladder,     ///< groups of holes of rising drawn size: what prints, and by how much it grows
    control,         ///< film without holes, marked at its corners: thickness, index and stress before release
    size_ladder,     ///< the hole field at three other sizes: parts undercut from wave speed in the frequencies
};

[[nodiscard]] std::string to_string(Witness witness);
/// All of them, in the order above.
[[nodiscard]] const std::vector<Witness>& all_witnesses();

/// What the witnesses are made from.
struct WitnessBasis {
    const HolePattern& holes;  ///< released sizes
    Outline outline;
    double drawn_width_m = 0.0;
    double growth_m = 0.0;  ///< per edge, from drawn to released
    double growth_deviation_m = 0.0;
    double least_feature_m = 0.0;  ///< 0: not known
    int grid = 1;
    int most_corners = most_corners_of_old_readers;
};

/// One block of a witness as a cell of its own.
struct WitnessBlock {
    std::size_t cell = 0;  ///< number in the drawing
    std::string caption;
    std::vector<double> rungs;      ///< ruler: undercut that frees each strip, m; hole ladder: drawn widths, m; size
                                    ///< ladder: scale of the outline
    double rung_deviation_m = 0.0;  ///< ruler
};

/// Undercut that clears the last spot under a field of these holes, m: half the distance between opposite holes of the
/// lattice cell less the hole's half width (square: pitch/sqrt 2, triangular: pitch/sqrt 3, honeycomb: pitch). A list
/// has no lattice; its holes' width stands in.
[[nodiscard]] double usual_undercut_m(const HolePattern& holes);

/// Adds the witness's cells to the drawing, on the layer of the witnesses.
/// @throws NoAnswer when the process leaves nothing of it, or a list of holes has no other size
[[nodiscard]] std::vector<WitnessBlock> draw_witness(Witness witness, const WitnessBasis& basis, Drawing& drawing);

}  // namespace tymbal

// The chip round the membrane: frame, alignment crosses and label, and room for witnesses.
#pragma once

#include "tymbal/base/warning.h"
#include "tymbal/pattern/room.h"
#include "tymbal/pattern/witness.h"

#include <string>
#include <vector>

namespace tymbal {

struct ChipBasis {
    DrawnBox chip;      ///< about the membrane's origin
    DrawnBox membrane;  ///< box round the outline
    std::string label;
    double clearance_m = 0.0;  ///< least distance of any two things, so that no undercut joins them
    double least_feature_m = 0.0;
    int grid = 1;
};

struct ChipLayout {
    std::vector<Placement> placements;
    ChipRoom room;  ///< what is left
    int crosses = 0;
    std::string label;  ///< as drawn; empty when there is no room
    Warnings warnings;
};

/// Adds cells for frame, four crosses and label to the drawing. What finds no room is left out with a warning.
[[nodiscard]] ChipLayout lay_out_chip(const ChipBasis& basis, Drawing& drawing);

struct PlacedWitness {
    Witness witness;
    std::string caption;
    DrawnBox box;  ///< its caption included
    std::vector<double> rungs;
    double rung_deviation_m = 0.0;  ///< ruler: one sigma of each, from the growth of its edges
};

/// Puts a witness with a caption below it into the free room nearest to the membrane.
/// @throws NoAnswer when the chip has no room for it
[[nodiscard]] PlacedWitness place_witness(Witness witness, const WitnessBlock& block, const ChipBasis& basis,
                                          ChipLayout& layout, Drawing& drawing);

}  // namespace tymbal

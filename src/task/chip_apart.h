// What stands on a chip, and whether all of it stays apart in the bath.
#pragma once

#include "tymbal/task/chip_pattern.h"

#include <optional>
#include <string>
#include <vector>

namespace tymbal {

/// Something etched through the film.
struct ChipThing {
    std::string name;  ///< "device A1", "cross 2"
    Boundary rim;      ///< of what hangs free of a device, else of the figure
    Point at;
    double reach_m = 0.0;  ///< of its front beyond the rim at the largest undercut
    bool device = false;
    std::optional<double> front_from_m{};  ///< undercut at which its front stands on the rim; empty: it has none
};

/// Largest undercut that the chip's [release] and [limits] allow for, by which key; 0 without either.
void find_largest_undercut(const ChipDesign& chip, ChipPattern& out);

[[nodiscard]] ChipThing thing_of(const ChipDevice& device, double largest_undercut_m);

/// Box round what hangs free and what is open of a device, about its origin.
[[nodiscard]] Box free_box(const Device& device);

/// Distance of the thing's rim from the nearest side of the chip.
[[nodiscard]] double room_to_edge(const ChipThing& thing, const Chip& chip);

/// Fronts against each other and against the chip's edge; takes note of the closest.
/// @throws NoAnswer where two meet or one leaves the chip
void require_apart(const std::vector<ChipThing>& things, const Chip& chip, ChipPattern& out);

}  // namespace tymbal

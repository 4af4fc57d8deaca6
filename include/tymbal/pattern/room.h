// Free room on a chip: boxes that are taken, and the nearest place where another fits.
#pragma once

#include "tymbal/pattern/drawing.h"

#include <optional>
#include <vector>

namespace tymbal {

struct ChipRoom {
    DrawnBox inside;              ///< nothing may leave it
    int clearance = 0;            ///< least distance between two boxes
    std::vector<DrawnBox> taken;  ///< all corners on the address grid
};

[[nodiscard]] bool is_free(const ChipRoom& room, const DrawnBox& box);

/// Lower left corner of the free box of this size whose centre is nearest to `near`; boxes slide along the taken ones
/// and along the chip's sides. Empty when there is none.
[[nodiscard]] std::optional<DrawnPoint> find_room(const ChipRoom& room, int width, int height, DrawnPoint near);

}  // namespace tymbal

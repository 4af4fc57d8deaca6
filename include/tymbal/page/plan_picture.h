// The picture of a design or chip before anything is computed: to scale, sized for a screen.
#pragma once

#include "tymbal/task/chip_design.h"
#include "tymbal/task/device.h"

#include <optional>
#include <string>
#include <vector>

namespace tymbal {

/// SVG of its own: film that hangs free, film on the wafer, holes, openings, layers over parts, the front of the etch,
/// the light's spot, a scale bar, axes in um from the design's origin, and a key.
/// @throws NoAnswer when no hole fits, see place_holes
[[nodiscard]] std::string plan_picture(const Device& device);

/// A figure of each device that colours it on the map.
struct MapFigure {
    std::string words;                          ///< with its unit, "lowest mode (MHz)"
    std::vector<std::optional<double>> values;  ///< in the order of the devices; empty where there is none
};

/// The chip as SVG of its own: its edge, devices with their names, marks, axes in mm from its centre. Each device is
/// wrapped in a link to `#device-NAME` when `linked`.
[[nodiscard]] std::string plan_picture(const ChipDesign& chip, const std::optional<MapFigure>& figure = {},
                                       bool linked = false);

}  // namespace tymbal

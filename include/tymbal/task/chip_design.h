// A chip as read: the silicon, the devices on it, and what is drawn beside them.
#pragma once

#include "tymbal/task/device.h"

#include <string>
#include <vector>

namespace tymbal {

/// [marks] of a chip file.
struct ChipMarks {
    std::string label;           ///< written in polygons; empty: the chip's title
    std::vector<Point> crosses;  ///< centres on the chip, m
    double cross_arm_m = 200e-6;
    double cross_width_m = 10e-6;
    std::vector<Point> squares;  ///< alignment marks of a second kind, centres on the chip, m
    double square_side_m = 20e-6;
    std::string picture;  ///< SVG file of filled polygons, as found from the chip file; empty: none
    double picture_width_m = 1e-3;
    Point picture_position{};
};

struct ChipDevice {
    std::string name;
    Device device;            ///< with the chip's shared sections and this device's changes in it; device.chip stands
                              ///< at `position`
    Point position{};         ///< of the device's origin from the chip's centre, m
    std::string design_file;  ///< that it was read from
};

struct ChipDesign {
    std::string title;
    std::string file;
    std::string sha256;  ///< of the chip file's bytes, hex
    Chip chip;
    ChipMarks marks;
    std::vector<ChipDevice> devices;
};

}  // namespace tymbal

// The devices of a chip file before they are read: each design with the chip's sections and its own changes in it.
#pragma once

#include "written_design.h"

#include "tymbal/base/error.h"
#include "tymbal/geometry/edge.h"

#include <string>
#include <vector>

namespace tymbal {

struct WrittenDevice {
    std::string name;
    Place named;   ///< its line in the chip file
    Place placed;  ///< the line of its position
    WrittenDesign design;
    Point position{};  ///< from the chip's centre
};

/// @param chip  the chip file as it is written
/// Names and places are checked, designs are not. @throws InputError
[[nodiscard]] std::vector<WrittenDevice> written_devices(const WrittenDesign& chip);

/// `what` is wrong in a device's design. @throws InputError naming chip file, device and design file
[[noreturn]] void refuse_in_device(const std::string& name, const Place& named, const std::string& design_file,
                                   const std::string& what);

/// Does something with a device's design; what is wrong in it is told with chip file, device and design file.
template <class Work>
auto in_device(const std::string& name, const Place& named, const std::string& design_file, const Work& work) {
    try {
        return work();
    } catch (const InputError& e) {
        refuse_in_device(name, named, design_file, e.what());
    }
}

}  // namespace tymbal

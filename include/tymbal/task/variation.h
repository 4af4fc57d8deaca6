// One design moved through: keys that take other values than the file gives them.
#pragma once

#include "tymbal/task/device.h"

#include <array>
#include <functional>
#include <string>
#include <variant>
#include <vector>

namespace tymbal {

/// A key of the design file, or one of the derived keys outline.scale, holes.scale and holes.fill_factor, and what it
/// shall be: a number in SI units, a name, or where the key holds a list two lengths or points in metres. A deviation
/// that the file gives the key stays as it is. A single number for holes.field is its first side; the second follows in
/// proportion.
struct Change {
    std::string key;
    std::variant<double, std::string, std::array<double, 2>, std::vector<Point>> value;
};
using Changes = std::vector<Change>;

/// The design with changes, read anew so that every check applies. Pure and safe to call from several threads.
/// @throws InputError when the changed design is not sound
using DesignAt = std::function<Device(const Changes&)>;

}  // namespace tymbal

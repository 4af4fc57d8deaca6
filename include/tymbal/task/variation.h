// One design moved through: keys that take other values than it gives them.
#pragma once

#include "tymbal/base/quantity.h"
#include "tymbal/task/device.h"

#include <array>
#include <functional>
#include <optional>
#include <string>
#include <variant>
#include <vector>

namespace tymbal {

/// What a key shall be: a number in SI units, a quantity, a text ("square", or as a design file has it a quantity with
/// its deviation or a whole list, "[[0, 1]]"), or where the key holds a list two numbers or points in SI units.
class ChangedValue : public std::variant<double, std::string, std::array<double, 2>, std::vector<Point>> {
public:
    using variant::variant;
    ChangedValue(int number) : variant(static_cast<double>(number)) {}
    template <Dimension D>
    ChangedValue(Quantity<D> quantity) : variant(quantity.si()), dimension(D) {}
    template <Dimension D>
    ChangedValue(Quantity<D> quantity, Quantity<D> sigma)
        : variant(quantity.si()), dimension(D), deviation(sigma.si()) {}

    std::optional<Dimension> dimension{};  ///< of a number that came as a quantity: it must be the key's
    std::optional<double> deviation{};     ///< one sigma, SI; 0: known exactly; nothing: that of the design stays
};

/// A key of the design file, or one of the derived keys outline.scale, holes.scale and holes.fill_factor, and its new
/// value. Openings are counted from 1: "openings.2.width"; one more than there are adds an opening. A deviation that
/// the design gives the key stays as it is where a number takes its place. A single number for holes.field is its first
/// side, which has no deviation; the second follows in proportion.
struct Change {
    std::string key;
    ChangedValue value;
};
using Changes = std::vector<Change>;

/// The device that a design with changes makes; every check applies. Pure and safe to call from several threads.
/// @throws InputError when the changed design is not sound
using DeviceAt = std::function<Device(const Changes&)>;

}  // namespace tymbal

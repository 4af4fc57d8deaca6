// Text such as "1.00 +- 0.03 GPa" to a number in SI units; the wanted kind decides which units a text may have.
#pragma once

#include "tymbal/base/quantity.h"

#include <stdexcept>
#include <string>
#include <string_view>
#include <vector>

namespace tymbal {

/// What a quantity measures, as far as units tell it apart.
enum class Kind {
    length,
    stress,
    pressure,
    density,
    temperature,
    frequency,
    time,
    power,
    angle,
    ratio,
    thermal_expansion,
    thermal_conductivity,
    heat_capacity,
    inverse_length,
    molar_mass,
    viscosity,
    speed,
    surface_tension,
    adhesion,
};

[[nodiscard]] std::string to_string(Kind kind);
/// Units that a text of this kind may have, in the order they are named in messages.
[[nodiscard]] std::vector<std::string> accepted_units(Kind kind);
/// The SI unit among them; empty for ratios.
[[nodiscard]] std::string si_unit(Kind kind);
[[nodiscard]] Dimension dimension_of(Kind kind);

struct ParsedQuantity {
    double value = 0.0;      ///< SI
    double deviation = 0.0;  ///< one sigma, SI; 0 when the text gives none
    bool has_deviation = false;
};

/// The text does not describe a quantity of the wanted kind; `what()` says what it is and what is accepted.
class UnitError : public std::runtime_error {
public:
    using std::runtime_error::runtime_error;
};

/// Reads `NUMBER UNIT`, `NUMBER +- NUMBER UNIT` or `NUMBER UNIT +- NUMBER UNIT` ("±" is accepted too). Behind a unit
/// the deviation may be a share of the value: `1.00 GPa +- 3 %`, also written `1.00 +- 3 % GPa`; temperatures, whose
/// zero is a convention, take none. Numbers are plain decimals with a point and an optional exponent; ratios take no
/// unit or "%". Temperatures may be in degC.
/// @throws UnitError
[[nodiscard]] ParsedQuantity parse_quantity(std::string_view text, Kind kind);

}  // namespace tymbal

// Numbers without a unit as people write them, for messages and tables alike.
#pragma once

#include <string>

namespace tymbal {

/// A number without unit, `digits` significant: "0.278", "415", "1.6e6". Whole up to 99 999: "100", never "1e2"; "-"
/// when it is not finite.
[[nodiscard]] std::string plain(double value, int digits = 3);

/// "4.15e11", every digit kept. @param value  finite
[[nodiscard]] std::string power_of_ten(double value, int digits);

/// A number by a printf format with one precision, "%.*f" or "%.*e".
[[nodiscard]] std::string printed(const char* format, int digits, double value);

}  // namespace tymbal

// Numbers as people write them, for messages and tables alike.
#pragma once

#include <string>

namespace tymbal {

/// A number without unit, `digits` significant: "0.278", "415", "1.6e6". Whole up to 99 999: "100", never "1e2"; "-"
/// when it is not finite.
[[nodiscard]] std::string plain(double value, int digits = 3);

/// "4.15e11", every digit kept. @param value  finite
[[nodiscard]] std::string power_of_ten(double value, int digits);

/// The number of so many significant digits nearest to a value.
[[nodiscard]] double rounded(double value, int digits);

/// "-11.63 kPa", "1.2 MPa", with an error in the same unit: "-11.63 +- 0.046 kPa". Large films buckle at kilopascals.
[[nodiscard]] std::string stress_words(double pascal, int digits = 4);
[[nodiscard]] std::string stress_with_error(double pascal, double error);

/// A number by a printf format with one precision, "%.*f" or "%.*e".
[[nodiscard]] std::string printed(const char* format, int digits, double value);

}  // namespace tymbal

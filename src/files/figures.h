// Numbers for people: SI prefixes and as many digits as the uncertainty carries.
#pragma once

#include "tymbal/files/page_width.h"

#include <cstddef>
#include <ostream>
#include <string>

namespace tymbal {

/// `value` with a prefix of its unit ("3.079 MHz"), `digits` significant.
[[nodiscard]] std::string with_prefix(double value, const char* unit, int digits = 4);

/// "3.079 +- 0.071": digits follow the larger part of the uncertainty (two of its own), both in units of `scale`.
[[nodiscard]] std::string with_uncertainty(double value, double deviation, double scale);

/// A number of any size with its uncertainty: "0.250 +- 0.030", "(1.000 +- 0.020)e-7", "295" without one.
[[nodiscard]] std::string any_size(double value, double deviation);

/// A number without unit, `digits` significant: "0.278", "415", "1.6e+06".
[[nodiscard]] std::string plain(double value, int digits = 3);

/// A number with a fixed count of decimals: "1.5811".
[[nodiscard]] std::string fixed(double value, int decimals);

/// Two significant digits in plain or power-of-ten form: "1.3e5".
[[nodiscard]] std::string rough(double value);

/// The prefix that suits the highest of some frequencies.
struct FrequencyUnit {
    double scale;  ///< Hz
    const char* name;
};
[[nodiscard]] FrequencyUnit frequency_unit(double highest_hz);

/// Text padded or cut to a width, left- or right-aligned. Counts UTF-8 characters.
[[nodiscard]] std::string left(const std::string& text, std::size_t width);
[[nodiscard]] std::string right(const std::string& text, std::size_t width);

/// Text broken into lines that end within `width`; the first begins at column `first`, which the caller has reached,
/// the others are indented by `others`.
[[nodiscard]] std::string wrapped(const std::string& text, std::size_t first, std::size_t others,
                                  std::size_t width = page);

/// The same within the page behind a stream.
[[nodiscard]] std::string wrapped(std::ostream& out, const std::string& text, std::size_t first, std::size_t others);

}  // namespace tymbal

// Numbers for people: SI prefixes and as many digits as the uncertainty carries.
#pragma once

#include "tymbal/text/page_width.h"

#include "../base/plain.h"

#include <cstddef>
#include <ostream>
#include <string>
#include <vector>

namespace tymbal {

/// "a, b, c".
[[nodiscard]] std::string comma_list(const std::vector<std::string>& words);

/// `value` with a prefix of its unit ("3.079 MHz"), `digits` significant. Pascals below one are powers of ten
/// ("1.0e-4 Pa"), seconds from two minutes on a duration.
[[nodiscard]] std::string with_prefix(double value, const char* unit, int digits = 4);

/// A unit that people write and its size in SI units.
struct UsualUnit {
    double scale = 1.0;
    std::string name;
};
/// For values up to `largest`: a prefix where the unit takes one, degrees for angles, nm/min for speeds, else the unit
/// itself. @param unit  SI
[[nodiscard]] UsualUnit usual_unit(const std::string& unit, double largest);

/// A value in the unit that people write: with a prefix where the unit takes one ("800.0 MPa"), else plain ("3000
/// kg/m^3", "6e10 1/m"), angles in degrees, speeds in nm/min. @param unit  SI; empty or "1": none
[[nodiscard]] std::string with_unit(double value, const std::string& unit, int digits = 4);

/// "3.079 +- 0.071": digits follow the larger part of the uncertainty (two of its own), both in units of `scale`; four
/// digits without one, "24.52".
[[nodiscard]] std::string with_uncertainty(double value, double deviation, double scale);

/// The same for a solved value: to the digits that its deviation or the solution's error leaves, "3.0791 -" where no
/// input states a deviation.
[[nodiscard]] std::string with_stated(double value, double deviation, double error, double scale);

/// A number of any size with its uncertainty: "0.250 +- 0.030", "(1.000 +- 0.020)e-7", "295" without one.
[[nodiscard]] std::string any_size(double value, double deviation);

/// A number with a fixed count of decimals: "1.5811".
[[nodiscard]] std::string fixed(double value, int decimals);

/// Two significant digits in plain or power-of-ten form: "1.3e5".
[[nodiscard]] std::string rough(double value);

/// "83 s" below two minutes, "30.3 min" below two hours, then "h", from two days on "d".
[[nodiscard]] std::string duration(double seconds, int digits = 3);
/// The same with its deviation, where there is one: "22.2 +- 2.2 min".
[[nodiscard]] std::string duration_with(double seconds, double deviation);

/// An input with prefix and deviation: "100.0 +- 2.0 nm", "90 +- 10 nm/min", "1.0e-4 Pa". @param unit  SI; "1": none
[[nodiscard]] std::string quantity_text(double value, double deviation, const std::string& unit);

/// What a spot sees of a mode, -1 to 1, three characters and a sign at least; "0" below a two-thousandth.
[[nodiscard]] std::string overlap_text(double overlap);

/// The prefix that suits the highest of some frequencies.
struct FrequencyUnit {
    double scale;  ///< Hz
    const char* name;
};
[[nodiscard]] FrequencyUnit frequency_unit(double highest_hz);

/// Text padded or cut to a width, left- or right-aligned. Counts UTF-8 characters.
[[nodiscard]] std::string left(const std::string& text, std::size_t width);
[[nodiscard]] std::string right(const std::string& text, std::size_t width);

/// Right-aligned behind at least one space: a text that fills its column does not touch the one before.
[[nodiscard]] std::string in_column(const std::string& text, std::size_t width);

/// Text broken into lines that end within `width`; the first begins at column `first`, which the caller has reached,
/// the others are indented by `others`.
[[nodiscard]] std::string wrapped(const std::string& text, std::size_t first, std::size_t others,
                                  std::size_t width = page);

/// The same within the page behind a stream.
[[nodiscard]] std::string wrapped(std::ostream& out, const std::string& text, std::size_t first, std::size_t others);

}  // namespace tymbal

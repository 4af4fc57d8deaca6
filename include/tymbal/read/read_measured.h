// A measurement from a CSV file: peak list, spectrum or ringdown, row by row, in bounded memory.
#pragma once

#include "tymbal/fit/measured.h"

#include <optional>
#include <string>
#include <vector>

namespace tymbal {

/// What the numbers of a signal column are.
enum class SignalScale { unsaid, amplitude, power };
/// Of which curve a line's full width at half maximum is.
enum class WidthOf { power, amplitude };

/// What a file does not say by itself.
struct ReadingChoice {
    std::optional<MeasuredKind> kind = {};
    SignalScale signal = SignalScale::unsaid;
    WidthOf width = WidthOf::power;
    std::optional<char> decimal = {};          ///< '.' or ','
    std::optional<double> resolution_hz = {};  ///< of a spectrum
    std::optional<double> frequency_hz = {};   ///< of the mode that rings down
};

/// Rows that a spectrum or ringdown may have: two numbers of eight bytes each are kept.
inline constexpr std::size_t most_rows = 20'000'000;
inline constexpr std::size_t most_peaks = 2000;

/// The table begins at the first row that names a column for frequency or time; units stand beside the names or in the
/// next row. What stands above are comments and an instrument's preamble, read for recorded conditions only; a comment
/// that names the columns counts when rows of numbers follow.
/// @throws InputError with line and column for anything that is not a number where one must stand, for units that are
/// not known, for frequencies or times out of order, and for what is ambiguous (naming the option that settles it)
/// and for lines of several devices
[[nodiscard]] Measured read_measured(const std::string& path, const ReadingChoice& choice);

/// The same of several devices, in the order in which a column `device` names them; without that column the file is
/// one device's, named like the file.
/// @throws InputError as read_measured does, and for a row without the name of its device
[[nodiscard]] std::vector<MeasuredDevice> read_measured_devices(const std::string& path, const ReadingChoice& choice);

}  // namespace tymbal

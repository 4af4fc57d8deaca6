// Values of a comma-separated table: numbers that read back to the same bits, texts in quotes.
#pragma once

#include <optional>
#include <string>

namespace tymbal {

/// The shortest decimal form that reads back to the same number.
[[nodiscard]] std::string shortest(double value);

/// Empty where the figure does not apply.
[[nodiscard]] std::string csv(double value);
[[nodiscard]] std::string csv(const std::optional<double>& value);

/// A deviation, or nothing where no input states one: 0 would read as exactly known.
[[nodiscard]] std::optional<double> stated(double deviation);

/// In quotes, quotes inside doubled; a text of one line stays one line.
[[nodiscard]] std::string csv_text(const std::string& text);

}  // namespace tymbal

// Cells of a comma-separated table: shortest exact numbers, quoted texts.
#pragma once

#include <optional>
#include <string>

namespace tymbal {

/// Shortest text that reads back as the same number; empty when it is not finite or not there.
[[nodiscard]] std::string csv(double value);
[[nodiscard]] std::string csv(const std::optional<double>& value);
[[nodiscard]] std::string csv_text(const std::string& text);

}  // namespace tymbal

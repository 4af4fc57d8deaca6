// Figures of a film in its cavity as words, the same on the screen and in reports.
#pragma once

#include "tymbal/task/cavity.h"

#include <optional>
#include <string>

namespace tymbal {

/// "21.72 MHz/nm" of Hz/m.
[[nodiscard]] std::string coupling_text(double hz_per_m);

/// With its sign before the number.
[[nodiscard]] std::string signed_hz(double hz, int digits);

/// Two digits of a pure number, "-" where there is none; powers of ten from a thousand on.
[[nodiscard]] std::string pure_number(const std::optional<double>& value);

/// Two digits, "-" where there is none.
[[nodiscard]] std::string watts_text(const std::optional<double>& value);

}  // namespace tymbal

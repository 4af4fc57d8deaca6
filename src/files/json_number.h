// What all JSON writers share: numbers that may not apply, the head of a result, changes as keys and values.
#pragma once

#include "tymbal/task/variation.h"

#include <nlohmann/json.hpp>

#include <optional>
#include <ostream>
#include <string>

namespace tymbal {

using Json = nlohmann::ordered_json;

/// null where the number is not finite or missing: it does not apply.
[[nodiscard]] Json number(double value);
[[nodiscard]] Json number(const std::optional<double>& value);

/// {"tool": ..., "design": ...}
[[nodiscard]] Json json_head(const std::string& title, const std::string& sha256);

/// {"key": number in SI units or name, ...}
[[nodiscard]] Json changes_json(const Changes& changes);

void print(std::ostream& out, const Json& root);

}  // namespace tymbal

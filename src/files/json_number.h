// Numbers as JSON: those that are not finite, or not there, have no JSON form and become null.
#pragma once

#include <nlohmann/json.hpp>

#include <cmath>
#include <optional>

namespace tymbal {

inline nlohmann::ordered_json number(double value) {
    return std::isfinite(value) ? nlohmann::ordered_json(value) : nlohmann::ordered_json(nullptr);
}
inline nlohmann::ordered_json number(const std::optional<double>& value) {
    return value ? number(*value) : nlohmann::ordered_json(nullptr);
}

}  // namespace tymbal

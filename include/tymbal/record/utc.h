// Moments as the record writes them: UTC, "2026-03-14T09:30:00Z", or a day alone, "2026-03-14".
#pragma once

#include <cstdint>
#include <optional>
#include <string>

namespace tymbal {

/// A day or a moment in the record's form; moments with an offset ("+02:00") are moved to UTC, those without one are
/// taken for UTC. Nothing for a text that is neither (ISO 8601, years 1900 to 9999).
[[nodiscard]] std::optional<std::string> utc_text(const std::string& text);

/// @param seconds  since 1970-01-01T00:00:00Z, without leap seconds
[[nodiscard]] std::string utc_text(std::int64_t seconds);

}  // namespace tymbal

// What all JSON writers share: numbers that may not apply, the head of a result, and its usual lists.
#pragma once

#include "tymbal/release/hole_sizes.h"
#include "tymbal/task/predict.h"
#include "tymbal/task/variation.h"

#include <nlohmann/json.hpp>

#include <optional>
#include <ostream>
#include <string>
#include <vector>

namespace tymbal {

using Json = nlohmann::ordered_json;

/// null where the number is not finite or missing: it does not apply.
[[nodiscard]] Json number(double value);
[[nodiscard]] Json number(const std::optional<double>& value);

/// {"tool": ...}, where more than one design or none stands behind a result.
[[nodiscard]] Json json_tool();
/// {"tool": ..., "design": ...}
[[nodiscard]] Json json_head(const std::string& title, const std::string& sha256);

/// {"key": number in SI units or name, ...}
[[nodiscard]] Json changes_json(const Changes& changes);

[[nodiscard]] Json limits_json(const std::vector<LimitCheck>& limits);
[[nodiscard]] Json sources_json(const std::vector<SourceLine>& sources);
/// "code: text" of each.
[[nodiscard]] Json warnings_json(const Warnings& warnings);

/// {"drawn": {"width_m", "std_m"}, "printed": ..., "etched": ..., "released": ...}
[[nodiscard]] Json film_loss_json(const std::optional<FilmLoss>& loss);
[[nodiscard]] Json field_json(const std::optional<FieldFit>& field);
[[nodiscard]] Json hole_sizes_json(const HoleSizes& sizes);

void print(std::ostream& out, const Json& root);

}  // namespace tymbal

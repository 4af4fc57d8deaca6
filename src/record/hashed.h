// Texts and numbers as one hash, in a form that no two different lists share.
#pragma once

#include <optional>
#include <string>
#include <vector>

namespace tymbal {

/// A number to the last bit; both zeros are one, as the database keeps them. @returns "-" for nothing
[[nodiscard]] std::string exact_text(const std::optional<double>& value);

/// SHA-256 over the texts in their order.
[[nodiscard]] std::string hash_of(const std::vector<std::string>& texts);

}  // namespace tymbal

// The known name closest to a misspelt one.
#pragma once

#include <string>
#include <vector>

namespace tymbal {

/// Name of `known` with the smallest edit distance to `word`; empty when none is within half the word's length (at
/// least 2).
[[nodiscard]] std::string nearest(const std::string& word, const std::vector<std::string>& known);

/// ` (did you mean 'x'?)` or nothing.
[[nodiscard]] std::string suggestion(const std::string& word, const std::vector<std::string>& known);

}  // namespace tymbal

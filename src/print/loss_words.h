// Loss terms by the names that tables and pictures give them.
#pragma once

#include "tymbal/quality/budget.h"

#include <string>
#include <vector>

namespace tymbal {

/// Null when the budget has no such term.
[[nodiscard]] const LossTerm* term_of(const LossBudget& losses, const std::string& name);

/// How far each term of these modes' budgets may be trusted, terms of equal trust together: "material and thermoelastic
/// estimated, gas computed". A term whose trust differs from mode to mode is named with its least.
[[nodiscard]] std::string trust_text(const std::vector<LossBudget>& modes);

}  // namespace tymbal

// Loss terms by the names that tables and pictures give them.
#pragma once

#include "tymbal/quality/budget.h"

#include <string>

namespace tymbal {

/// Null when the budget has no such term.
[[nodiscard]] const LossTerm* term_of(const LossBudget& losses, const std::string& name);

/// "material" for "diluted", "gap" for "squeeze_film", "thermo" for "thermoelastic", else the name itself.
[[nodiscard]] std::string heading(const std::string& term);

}  // namespace tymbal

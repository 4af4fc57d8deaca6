// Seals: what shows later that a chip's own rows were changed, or that the last entries were taken away.
#pragma once

#include "database.h"

#include "tymbal/record/entry.h"

#include <string>
#include <vector>

namespace tymbal {

/// First version of the tables that has seals.
inline constexpr int first_with_seals = 2;

/// What one addition leaves: a seal over each new chip with its devices, then one over the last entry.
void add_seals(Database& database, const std::vector<RecordedChip>& chips);

/// What is not as it was sealed, in words; empty: nothing. @param entries  all of the record, by number
[[nodiscard]] std::vector<std::string> broken_seals(Database& database, const std::vector<RecordEntry>& entries);

}  // namespace tymbal

// Chips and entries as rows of the record's tables, written and read back.
#pragma once

#include "database.h"

#include "tymbal/record/entry.h"

#include <vector>

namespace tymbal {

/// @throws InputError when the record has a chip of this name
void insert_chip(Database& database, const RecordedChip& chip);

/// Gives the entry the next number and the hash that chains it to the last one.
/// @throws InputError for a chip, a device or a corrected entry that is not there
RecordEntry insert_entry(Database& database, RecordEntry entry);

[[nodiscard]] std::vector<RecordedChip> select_chips(Database& database);

/// @param chip  empty: of all chips
[[nodiscard]] std::vector<RecordEntry> select_entries(Database& database, const std::string& chip);

/// What an entry's hash is taken over.
[[nodiscard]] std::string hash_of(const RecordEntry& entry, const std::string& before);

}  // namespace tymbal

// The tables of a record, their version, and the way from each version to the next.
#pragma once

#include "database.h"

#include "tymbal/record/record_file.h"

namespace tymbal {

/// Marks a database as a record of chips ("tymb" in ASCII).
inline constexpr int record_application = 0x74796D62;

/// @returns 0 for a database without tables
/// @throws InputError for a database of something else, or a version that `migrations` does not know
[[nodiscard]] int record_version(Database& database, std::span<const Migration> migrations);

/// Brings the tables from one version to the newest, inside the caller's transaction.
void migrate(Database& database, int from, const RecordWriter& writer);

}  // namespace tymbal

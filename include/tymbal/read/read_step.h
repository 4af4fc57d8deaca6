// STEP.toml as an entry of the record: what was done to a chip or seen on it.
#pragma once

#include "tymbal/base/material.h"
#include "tymbal/record/record_file.h"

#include <string>
#include <vector>

namespace tymbal {

/// A step file, checked as far as it goes without the record: keys, units, rows of the material table, dates; its files
/// are read for their hashes.
/// `recorded` and, where the file gives no date, `date` are `now`. @param now  UTC, see record/utc.h
/// @throws InputError with file, line and key
[[nodiscard]] RecordEntry read_step(const std::string& path, const std::string& now, const Materials& materials);

/// Steps that a file may name.
[[nodiscard]] const std::vector<std::string>& step_names();

/// Whether a value of this name may stand in a step file: a design key or a name of the list.
[[nodiscard]] bool is_step_value(const std::string& key);

/// The keys of a step file and the list of values, as text.
[[nodiscard]] std::string describe_step_keys();

/// The chip of a record that a text means: its name, or the title or file (with or without ending) of only one.
/// @throws InputError naming the chips there are
[[nodiscard]] std::string chip_named(const std::string& text, const std::vector<RecordedChip>& chips,
                                     const std::string& record);

/// Adds a step file to a record: its chip is one of the record, of a lone design the device is named, too.
/// @throws InputError as read_step, chip_named and add_to_record, with the step file's line where one is at fault
RecordAdded add_step(const std::string& path, const std::string& record, const RecordWriter& writer,
                     const Materials& materials);

}  // namespace tymbal

// The record of chips as tables, JSON and CSV.
#pragma once

#include "tymbal/record/gaps.h"
#include "tymbal/record/learn.h"
#include "tymbal/record/record_file.h"

#include <ostream>
#include <string>
#include <vector>

namespace tymbal {

/// One page of a chip: drawn, printed, etched, released, measured, a device a row, and what was noted.
/// @param record  with the entries of that chip
void write_chip_page(std::ostream& out, const RecordContents& record, const std::string& chip);
void write_chip_json(std::ostream& out, const RecordContents& record, const std::string& chip);

/// A chip a line; or, of one chip, an entry a line.
void write_chip_list(std::ostream& out, const RecordContents& record);
void write_entry_list(std::ostream& out, const RecordContents& record, const std::string& chip);
/// Chips with all their entries.
void write_list_json(std::ostream& out, const RecordContents& record);

/// Each table as FOLDER/NAME.csv, each kept file as FOLDER/files/SHA256.
void export_record(const std::string& folder, const RecordContents& record, const std::vector<KeptFile>& kept);

/// What the database, hashes, keys, files beside the record and gaps say. @param path  of the record
[[nodiscard]] std::vector<RecordFinding> check_record(const std::string& path);
void write_check(std::ostream& out, const std::string& path, const std::vector<RecordFinding>& found);
void write_check_json(std::ostream& out, const std::string& path, const std::vector<RecordFinding>& found);

void write_learning(std::ostream& out, const Learning& learning);
void write_learning_json(std::ostream& out, const Learning& learning);

/// The lines as TOML, by sections, each with what it rests on behind it.
[[nodiscard]] std::string learned_toml(const Learning& learning);
/// A design or chip file with those lines in it: values are exchanged in their place, nothing else moves.
[[nodiscard]] std::string with_learned(const std::string& text, const std::string& path, const Learning& learning);

}  // namespace tymbal

// What all run sheets share: a printable page with a column for what was done.
#pragma once

#include "tymbal/base/warning.h"
#include "tymbal/task/release_report.h"

#include <ostream>
#include <string>
#include <vector>

namespace tymbal {

/// The page up to its body.
[[nodiscard]] const char* sheet_head();
void begin_sheet_table(std::ostream& out, const char* heading);
void sheet_row(std::ostream& out, const char* what, const std::string& expected);
void sheet_blank(std::ostream& out, const char* what);
void sheet_etchant(std::ostream& out, const EtchReport& etch);
/// What is written down of the bath, and the drying that follows.
void sheet_bath(std::ostream& out, const std::string& drying);
void write_sheet_cautions(std::ostream& out, const std::vector<std::string>& cautions);
/// Nothing when there are none.
void write_sheet_warnings(std::ostream& out, const Warnings& warnings);

}  // namespace tymbal

// A sweep as text: lines that say what was swept, a line of names, one line per design. All else is made from it.
#pragma once

#include "tymbal/task/sweep.h"

#include <ostream>
#include <string>
#include <vector>

namespace tymbal {

/// What makes two sweeps the same: program, design, material table, settings and grid; and which part of it this is.
struct SweepIdentity {
    std::string title;
    std::string design_sha256;
    std::string materials_sha256;
    Changes settings;  ///< that hold for all rows, beside the file
    SweepGrid grid;
    int modes = 0;
    int part = 1;  ///< from 1
    int parts = 1;
};

/// The first lines, the names of the columns included.
[[nodiscard]] std::string head_text(const SweepIdentity& identity);

/// One line: SI units, numbers that read back to the same bits, empty where a figure does not apply.
[[nodiscard]] std::string row_text(const SweepIdentity& identity, const SweepRow& row);

/// Rows of the grid that belong to a part: every `parts`-th.
[[nodiscard]] std::vector<std::size_t> part_of(std::size_t rows, int part, int parts);

struct SweepTable {
    std::vector<std::string> head;  ///< lines that begin with #, without the one that names the part
    int part = 1, parts = 1;
    std::string names;  ///< the line of names as it stands
    std::vector<std::string> columns;
    std::vector<std::string> lines;  ///< rows as they stand
    std::vector<std::vector<std::string>> rows;

    [[nodiscard]] std::size_t index(std::size_t row) const;
    [[nodiscard]] bool has(const std::string& name) const;
    /// Place of a column. @throws std::logic_error for a name that the table does not have
    [[nodiscard]] std::size_t column(const std::string& name) const;
    [[nodiscard]] std::string cell(std::size_t row, const std::string& name) const { return rows[row][column(name)]; }
    /// From its line in the head, e.g. "rows" or "design"; empty when it has none.
    [[nodiscard]] std::string stated(const std::string& what) const;
    [[nodiscard]] std::vector<std::string> axes() const;
    void sort();
};

/// @throws InputError for a text that is no sweep
[[nodiscard]] SweepTable parse_sweep(const std::string& text, const std::string& path);

/// Whole text of a table; the same bytes for the same rows.
[[nodiscard]] std::string table_text(const SweepTable& table);

/// The parts of one sweep put together, sorted. @throws InputError when they differ, overlap or leave rows out
[[nodiscard]] SweepTable join_sweeps(const std::vector<std::string>& paths);

}  // namespace tymbal

// The header of a measured table: which column holds what, and by which factor it comes to SI units.
#pragma once

#include "csv_rows.h"

#include "tymbal/files/read_measured.h"

#include <array>

namespace tymbal {

/// What a column may hold; `other` is not used.
enum class Column {
    frequency,
    deviation,
    width,
    quality,
    quality_deviation,
    time,
    signal,
    drive,
    pressure,
    temperature,
    light,
    date,
    mount,
    spot,
    other,
};

struct ColumnUse {
    Column holds = Column::other;
    std::string name;  ///< as the file has it
    std::string unit;
    double factor = 1.0;
    double offset = 0.0;
    bool decibel = false;                     ///< numbers are 10 lg of a power
    SignalScale scale = SignalScale::unsaid;  ///< of a signal column
};

struct Header {
    std::vector<ColumnUse> columns;
    char separator = ',';

    /// Position of the first column that holds this, -1: none.
    [[nodiscard]] int find(Column holds) const;
    [[nodiscard]] const ColumnUse& at(int column) const { return columns[static_cast<std::size_t>(column)]; }
};

/// The header when the line is one: no field is a number and one names frequency or time.
/// @throws InputError for units that are missing or not known, and for columns named twice
[[nodiscard]] std::optional<Header> read_header(const std::string& line, const Place& place);

}  // namespace tymbal

// The header of a measured table: which column holds what, and by which factor it comes to SI units.
#pragma once

#include "../text/csv_rows.h"

#include "tymbal/base/parse_quantity.h"
#include "tymbal/read/read_measured.h"

#include <array>

namespace tymbal {

/// What a column may hold; `other` is not used.
enum class ColumnKind {
    frequency,
    deviation,
    width,
    width_deviation,
    detuning,
    quality,
    quality_deviation,
    time,
    signal,
    quadrature_x,
    quadrature_y,
    drive,
    pressure,
    temperature,
    light,
    date,
    mount,
    spot,
    device,
    other,
};

struct ColumnUse {
    ColumnKind holds = ColumnKind::other;
    std::string name;  ///< as the file has it
    std::string unit;
    double factor = 1.0;
    double offset = 0.0;
    bool decibel = false;                     ///< numbers are 10 lg of a power
    SignalScale scale = SignalScale::unsaid;  ///< of a signal column
    bool in_metres = false;                   ///< an amplitude of the film itself
    std::optional<Kind> kind = {};            ///< of the unit it must have
};

struct Header {
    std::vector<ColumnUse> columns;
    char separator = ',';

    /// Position of the first column that holds this, -1: none.
    [[nodiscard]] int find(ColumnKind holds) const;
    [[nodiscard]] const ColumnUse& at(int column) const { return columns[static_cast<std::size_t>(column)]; }
};

/// The header when the line is one: no field is a number and one names frequency or time. Units stand in brackets,
/// behind a stroke or an underscore; `read_units` has yet to look at them.
[[nodiscard]] std::optional<Header> read_header(std::string_view line);

/// True when a column that needs a unit has none.
[[nodiscard]] bool lacks_units(const Header& header);

/// Takes units from a line of its own below the names. @return false when the line is none
[[nodiscard]] bool take_units(Header& header, std::string_view line);

/// Factors to SI units, and which column is the signal when none is named so.
/// @throws InputError for units that are missing or not known, and for columns named twice
void read_units(Header& header, const Place& place);

/// Names of columns, for a message.
[[nodiscard]] std::string accepted_columns();

}  // namespace tymbal

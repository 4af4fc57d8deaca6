#include "measured_header.h"

#include "measured_conditions.h"

#include <algorithm>

namespace tymbal {

namespace {

constexpr int longest_preamble = 2000;  // lines

/// Rows below a commented header are numbers, as many as it names.
bool is_row_of(const Header& header, const std::string& line) {
    std::vector<std::string_view> fields;
    split(line, header.separator, fields);
    return fields.size() == header.columns.size() && std::all_of(fields.begin(), fields.end(), [](std::string_view f) {
               return number_in(f, '.') || number_in(f, ',');
           });
}

/// Names without units have them in the next line that is no comment, if anywhere.
void find_units(CsvRows& rows, const Place& place, Header& header, Measured& into) {
    while (lacks_units(header) && rows.next()) {
        if (is_comment(rows.line())) {
            read_condition(rows.line(), into);
            continue;
        }
        if (!take_units(header, rows.line())) rows.hold();
        break;
    }
    read_units(header, place);
}

std::string_view without_mark(std::string_view line) {
    std::string_view text = trimmed(line);
    while (!text.empty() && (text.front() == '#' || text.front() == '%' || text.front() == '!' || text.front() == '/'))
        text.remove_prefix(1);
    return text;
}

}  // namespace

Header find_header(CsvRows& rows, Measured& into) {
    int passed = 0;
    std::optional<Header> commented;  // a header behind a comment mark counts when rows follow without another
    Place commented_at;
    while (rows.next()) {
        const bool comment = is_comment(rows.line());
        if (!comment && commented && is_row_of(*commented, rows.line())) {
            rows.hold();
            read_units(*commented, commented_at);
            return *commented;
        }
        std::optional<Header> header = read_header(comment ? without_mark(rows.line()) : rows.line());
        if (header && !comment) {
            find_units(rows, rows.place(), *header, into);
            return *header;
        }
        if (header) {
            commented = std::move(header);
            commented_at = rows.place();
        }
        if (!comment && ++passed > longest_preamble) break;
        read_condition(rows.line(), into);
    }
    throw InputError({into.file, 0}, "",
                     passed == 0 ? "is empty; a measurement is a table whose first line names columns and units, e.g. "
                                   "'frequency (Hz),uncertainty (Hz)'"
                                 : "has no line that names a column for frequency or time as it is known here; put one "
                                   "above the numbers; known are " +
                                       accepted_columns());
}

}  // namespace tymbal

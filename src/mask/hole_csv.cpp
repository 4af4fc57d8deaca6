#include "tymbal/base/error.h"
#include "tymbal/base/nearest.h"
#include "tymbal/base/parse_quantity.h"
#include "tymbal/mask/hole_file.h"

#include <algorithm>
#include <array>
#include <charconv>
#include <cmath>
#include <string_view>

namespace tymbal {

namespace {

constexpr std::size_t most_holes = 1'000'000;
constexpr double farthest_m = 0.1;
constexpr double most_size_difference = 0.01;

std::string_view trimmed(std::string_view text) {
    const std::size_t from = text.find_first_not_of(" \t\r");
    if (from == std::string_view::npos) return {};
    return text.substr(from, text.find_last_not_of(" \t\r") - from + 1);
}

std::vector<std::string_view> cells_of(std::string_view line) {
    std::vector<std::string_view> cells;
    for (std::size_t from = 0; from <= line.size();) {
        const std::size_t to = std::min(line.find(',', from), line.size());
        cells.push_back(trimmed(line.substr(from, to - from)));
        from = to + 1;
    }
    return cells;
}

/// One column of the table: what it holds and one of its units in metres.
struct Column {
    enum class Kind { x, y, size } kind;
    double unit_m;
};

Column to_column(std::string_view heading, const Place& at, HoleShape shape) {
    const std::string size = drawn_size_name(shape);
    const std::string wanted = "x (um), y (um) and, when wanted, " + size + " (um)";
    const std::size_t open = heading.find('(');
    if (open == std::string_view::npos || heading.back() != ')')
        throw InputError(at, std::string(heading.substr(0, 40)),
                         "is no column heading with a unit; accepted: " + wanted);
    const std::string name(trimmed(heading.substr(0, open)));
    const std::string unit(heading.substr(open + 1, heading.size() - open - 2));
    double unit_m = 0.0;
    try {
        unit_m = parse_quantity(std::string("1 ").append(unit), Kind::length).value;
    } catch (const UnitError& e) {
        throw InputError(at, name.substr(0, 40), e.what());
    }
    if (name == "x") return {Column::Kind::x, unit_m};
    if (name == "y") return {Column::Kind::y, unit_m};
    if (name == size) return {Column::Kind::size, unit_m};
    throw InputError(
        at, name.substr(0, 40),
        "is not a column of a table of holes" + suggestion(name, {"x", "y", size}) + "; accepted: " + wanted);
}

std::vector<Column> read_heading(std::string_view line, const Place& at, HoleShape shape) {
    std::vector<Column> columns;
    for (const std::string_view heading : cells_of(line)) columns.push_back(to_column(heading, at, shape));
    std::array<int, 3> counts{};
    for (const Column& c : columns) ++counts[static_cast<std::size_t>(c.kind)];
    if (counts[0] != 1 || counts[1] != 1 || counts[2] > 1)
        throw InputError(at, "", "needs one column x, one column y and at most one of the size");
    return columns;
}

double number_in(std::string_view cell, const Place& at) {
    double value = 0.0;
    const auto [end, error] = std::from_chars(cell.data(), cell.data() + cell.size(), value);
    if (cell.empty() || error != std::errc{} || end != cell.data() + cell.size() || !std::isfinite(value))
        throw InputError(at, "", "'" + std::string(cell.substr(0, 40)) + "' is no number");
    return value;
}

struct Row {
    Point centre;
    double width_m = 0.0;
};

Row read_row(std::string_view line, const std::vector<Column>& columns, const Place& at) {
    const auto cells = cells_of(line);
    if (cells.size() != columns.size())
        throw InputError(
            at, "",
            "has " + std::to_string(cells.size()) + " values; the heading names " + std::to_string(columns.size()));
    Row row;
    for (std::size_t k = 0; k < cells.size(); ++k) {
        const double value = number_in(cells[k], at) * columns[k].unit_m;
        if (std::abs(value) > farthest_m) throw InputError(at, "", "has a value of more than 10 cm");
        switch (columns[k].kind) {
            case Column::Kind::x: row.centre.x = value; break;
            case Column::Kind::y: row.centre.y = value; break;
            case Column::Kind::size: row.width_m = value; break;
        }
    }
    return row;
}

void take_size(HoleFile& holes, double width_m, const Place& at) {
    if (!(width_m > 0.0)) throw InputError(at, "", "has a size that is not above zero");
    if (!holes.drawn_width_m) holes.drawn_width_m = width_m;
    if (std::abs(width_m - *holes.drawn_width_m) > most_size_difference * *holes.drawn_width_m)
        throw InputError(at, "", "has a hole of another size than the first; all holes of a pattern have one size");
}

}  // namespace

HoleFile parse_hole_csv(const std::string& text, const std::string& path, HoleShape shape) {
    HoleFile holes;
    std::vector<Column> columns;
    int line_number = 0;
    for (std::size_t from = 0; from < text.size();) {
        const std::size_t to = std::min(text.find('\n', from), text.size());
        const std::string_view line = trimmed(std::string_view(text).substr(from, to - from));
        const Place at{path, ++line_number};
        from = to + 1;
        if (line.empty()) continue;
        if (columns.empty()) {
            columns = read_heading(line, at, shape);
            continue;
        }
        const Row row = read_row(line, columns, at);
        if (columns.size() == 3) take_size(holes, row.width_m, at);
        holes.centres.push_back(row.centre);
        if (holes.centres.size() > most_holes) throw InputError(at, "", "is the row of more than a million holes");
    }
    if (holes.centres.empty())
        throw InputError({path, 0}, "", "lists no hole; a heading and one row a hole are wanted");
    return holes;
}

}  // namespace tymbal

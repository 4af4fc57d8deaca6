#include "toml_table.h"

#include "csv.h"
#include "figures.h"
#include "toml_guard.h"

#include <algorithm>
#include <cmath>
#include <cstdint>
#include <fstream>
#include <sstream>

namespace tymbal {

namespace {

/// Whether code has put the value in place of the file's.
bool made_in_code(const toml::value& value) {
    return value.location().file_name() == "unknown file";
}

/// Of the file that the value was written in: a design's table may hold values of its chip.
/// @param otherwise  for a value that code has put there
Place place_of(const toml::value& value, const std::string& otherwise) {
    if (made_in_code(value)) return {otherwise, 0};
    return {value.location().file_name(), static_cast<int>(value.location().line())};
}

std::string kind_of(const toml::value& value) {
    switch (value.type()) {
        case toml::value_t::empty: return "nothing";
        case toml::value_t::boolean: return "true or false";
        case toml::value_t::integer:
        case toml::value_t::floating: return "a bare number";
        case toml::value_t::string: return "a text";
        case toml::value_t::offset_datetime:
        case toml::value_t::local_datetime:
        case toml::value_t::local_date:
        case toml::value_t::local_time: return "a date or time";
        case toml::value_t::array: return "a list";
        case toml::value_t::table: return "a table";
    }
    return "something else";
}

/// First sentence of the TOML library's many-line report.
std::string first_line(const std::string& report) {
    std::string line = report.substr(0, report.find('\n'));
    const std::size_t tag = line.rfind("[error] ");
    if (tag != std::string::npos) line = line.substr(tag + 8);
    const std::size_t call = line.find("toml::");
    if (call == 0) {
        const std::size_t end = line.find(": ");
        if (end != std::string::npos) line = line.substr(end + 2);
    }
    return line;
}

}  // namespace

std::string read_text(const std::string& path, std::size_t most_mebibytes) {
    std::ifstream in(path, std::ios::binary);
    if (!in) throw InputError({path, 0}, "", "cannot be opened; give the path of a readable file");
    std::string text;
    std::vector<char> block(1U << 16U);
    while (in.read(block.data(), static_cast<std::streamsize>(block.size())) || in.gcount() > 0) {
        text.append(block.data(), static_cast<std::size_t>(in.gcount()));
        if (text.size() > most_mebibytes << 20U) {
            std::string why = "is larger than ";
            why.append(std::to_string(most_mebibytes)).append(" MiB, too large for a design or table");
            throw InputError({path, 0}, "", why);
        }
    }
    if (in.bad()) throw InputError({path, 0}, "", "cannot be read; is it a folder?");
    return text;
}

toml::value parse_toml(const std::string& text, const std::string& path) {
    require_digestible_toml(text, path);
    std::istringstream in(text);
    try {
        return toml::parse(in, path);
    } catch (const toml::exception& e) {
        throw InputError({path, static_cast<int>(e.location().line())}, "",
                         "is not valid TOML: " + first_line(e.what()));
    }
}

toml::value put_quantity(double si, double deviation, Kind kind) {
    return toml::table{{"si", si}, {"deviation", deviation}, {"unit", si_unit(kind)}};
}

std::optional<ParsedQuantity> quantity_put(const toml::value& value) {
    if (!value.is_table() || !made_in_code(value) || !value.contains("si")) return std::nullopt;
    const double deviation = value.at("deviation").as_floating();
    return ParsedQuantity{value.at("si").as_floating(), deviation, deviation > 0.0};
}

TomlTable::TomlTable(std::string file, std::string name, const toml::value& value)
    : file_(std::move(file)), name_(std::move(name)), value_(&value) {
    if (!value.is_table()) throw InputError(place(), name_, "is " + kind_of(value) + " where a section is wanted");
}

std::vector<std::string> TomlTable::keys() const {
    std::vector<std::string> names;
    for (const auto& entry : value_->as_table()) names.push_back(entry.first);
    std::sort(names.begin(), names.end());
    return names;
}

Place TomlTable::place() const {
    return place_of(*value_, file_);
}
Place TomlTable::place(const std::string& key) const {
    return place_of(has(key) ? at(key) : *value_, file_);
}
std::string TomlTable::full(const std::string& key) const {
    const std::string shown = key.size() > 80 ? key.substr(0, 80) + "..." : key;
    return name_.empty() ? shown : name_ + "." + shown;
}

void TomlTable::refuse(const std::string& key, const std::string& message) const {
    throw InputError(place(key), full(key), message);
}

void TomlTable::missing(const std::string& key, const std::string& what) const {
    throw InputError(place(), full(key), "is missing; give " + what);
}

const toml::value& TomlTable::at(const std::string& key) const {
    if (!has(key)) missing(key, "a value");
    return value_->at(key);
}

std::string TomlTable::text(const std::string& key) const {
    if (!has(key)) missing(key, "a text");
    if (!at(key).is_string()) refuse(key, "is " + kind_of(at(key)) + "; a text in quotes is wanted");
    return at(key).as_string().str;
}

double TomlTable::number(const std::string& key) const {
    if (!has(key)) missing(key, "a number");
    double value = 0.0;
    if (at(key).is_floating())
        value = at(key).as_floating();
    else if (at(key).is_integer())
        value = static_cast<double>(at(key).as_integer());
    else
        refuse(key, "is " + kind_of(at(key)) + "; a plain number is wanted");
    if (!std::isfinite(value)) refuse(key, "must be a finite number");
    return value;
}

int TomlTable::integer(const std::string& key, int least, int most) const {
    const std::string range = "a whole number from " + std::to_string(least) + " to " + std::to_string(most);
    if (!has(key)) missing(key, range);
    if (!at(key).is_integer()) refuse(key, "is " + kind_of(at(key)) + "; accepted: " + range);
    const auto value = at(key).as_integer();
    if (value < least || value > most) refuse(key, "is " + std::to_string(value) + "; accepted: " + range);
    return static_cast<int>(value);
}

ParsedQuantity TomlTable::quantity(const std::string& key, Kind kind) const {
    if (!has(key)) missing(key, "a " + to_string(kind) + " such as \"1 " + accepted_units(kind).front() + "\"");
    const toml::value& value = at(key);
    if (const auto put = quantity_put(value)) return *put;
    if (!value.is_string()) {
        if (kind == Kind::ratio && (value.is_floating() || value.is_integer())) return {number(key), 0.0, false};
        refuse(key, "is " + kind_of(value) +
                        "; a text with number and unit is wanted, accepted: " + comma_list(accepted_units(kind)));
    }
    try {
        return parse_quantity(value.as_string().str, kind);
    } catch (const UnitError& e) {
        refuse(key, e.what());
    }
}

double TomlTable::element(const toml::value& value, const std::string& key, Kind kind) const {
    if (const auto put = quantity_put(value)) return put->value;
    if (!value.is_string())
        throw InputError(place_of(value, file_), full(key),
                         "has " + kind_of(value) + " among its values; each needs number and unit");
    try {
        const ParsedQuantity parsed = parse_quantity(value.as_string().str, kind);
        if (parsed.has_deviation) throw UnitError("takes no uncertainty in its values");
        return parsed.value;
    } catch (const UnitError& e) {
        throw InputError(place_of(value, file_), full(key), e.what());
    }
}

std::vector<double> TomlTable::quantities(const std::string& key, Kind kind, std::size_t count) const {
    if (!has(key)) missing(key, "a list of " + std::to_string(count) + " values");
    const toml::value& value = at(key);
    if (!value.is_array() || value.as_array().size() != count)
        refuse(key, "must be a list of " + std::to_string(count) + " values with units");
    std::vector<double> numbers;
    for (const toml::value& v : value.as_array()) numbers.push_back(element(v, key, kind));
    return numbers;
}

std::vector<std::string> TomlTable::texts(const std::string& key) const {
    if (!has(key)) missing(key, "a list of texts");
    if (!at(key).is_array()) refuse(key, "is " + kind_of(at(key)) + "; a list of texts in quotes is wanted");
    std::vector<std::string> texts;
    for (const toml::value& value : at(key).as_array()) {
        if (!value.is_string())
            throw InputError(place_of(value, file_), full(key),
                             "has " + kind_of(value) + " among its texts; each must stand in quotes");
        texts.push_back(value.as_string().str);
    }
    return texts;
}

std::vector<Point> TomlTable::points(const std::string& key, std::size_t most) const {
    if (!has(key)) missing(key, "a list of [x, y] pairs with units");
    const toml::value& value = at(key);
    if (!value.is_array()) refuse(key, "is " + kind_of(value) + "; a list of [x, y] pairs with units is wanted");
    if (value.as_array().size() > most) refuse(key, "has more than " + std::to_string(most) + " points");
    std::vector<Point> points;
    for (const toml::value& pair : value.as_array()) {
        if (!pair.is_array() || pair.as_array().size() != 2)
            throw InputError(place_of(pair, file_), full(key), "has an entry that is not a pair [x, y]");
        points.push_back(
            {element(pair.as_array()[0], key, Kind::length), element(pair.as_array()[1], key, Kind::length)});
    }
    return points;
}

std::vector<std::array<int, 2>> TomlTable::index_pairs(const std::string& key, std::size_t most) const {
    const toml::value& value = at(key);
    if (!value.is_array() || value.as_array().size() > most)
        refuse(key, "must be a list of at most " + std::to_string(most) + " pairs [i, j]");
    std::vector<std::array<int, 2>> pairs;
    for (const toml::value& pair : value.as_array()) {
        const bool sound = pair.is_array() && pair.as_array().size() == 2 && pair.as_array()[0].is_integer() &&
                           pair.as_array()[1].is_integer();
        if (!sound)
            throw InputError(place_of(pair, file_), full(key),
                             "has an entry that is not a pair of whole numbers [i, j]");
        const auto i = pair.as_array()[0].as_integer(), j = pair.as_array()[1].as_integer();
        constexpr std::int64_t farthest = 1'000'000;
        if (std::min(i, j) < -farthest || std::max(i, j) > farthest)  // the least integer has no absolute value
            throw InputError(place_of(pair, file_), full(key), "has a site number beyond a million");
        pairs.push_back({static_cast<int>(i), static_cast<int>(j)});
    }
    return pairs;
}

std::vector<std::string> TomlTable::texts(const std::string& key, std::size_t most) const {
    const toml::value& value = at(key);
    if (!value.is_array() || value.as_array().size() > most)
        refuse(key, "must be a list of at most " + std::to_string(most) + " texts");
    std::vector<std::string> all;
    for (const toml::value& v : value.as_array()) {
        if (!v.is_string()) refuse(key, "has " + kind_of(v) + " among its values; each must be a text");
        all.push_back(v.as_string().str);
    }
    return all;
}

std::string TomlTable::written(const std::string& key) const {
    if (const auto put = quantity_put(at(key)))
        return shortest(put->value).append(" ").append(at(key).at("unit").as_string().str);
    if (at(key).is_string()) return at(key).as_string().str.substr(0, 80);
    std::ostringstream out;
    out << at(key);
    return out.str().substr(0, 80);
}

TomlTable TomlTable::table(const std::string& key) const {
    if (!has(key)) missing(key, "a table");
    return {file_, full(key), at(key)};
}

std::vector<TomlTable> TomlTable::tables(const std::string& key) const {
    if (!at(key).is_array()) refuse(key, "is " + kind_of(at(key)) + "; a list of tables is wanted");
    std::vector<TomlTable> all;
    for (const toml::value& v : at(key).as_array()) all.emplace_back(file_, full(key), v);
    return all;
}

}  // namespace tymbal

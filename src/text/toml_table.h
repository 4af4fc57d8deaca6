// A table of a TOML file whose values know file and line; every wrong type ends in an InputError with place and cure.
#pragma once

#include "tymbal/base/error.h"
#include "tymbal/base/parse_quantity.h"
#include "tymbal/geometry/outline.h"

#include <toml.hpp>

#include <array>
#include <optional>
#include <string>
#include <vector>

namespace tymbal {

/// Whole file as text. @throws InputError when it cannot be read or is larger than so many MiB
[[nodiscard]] std::string read_text(const std::string& path, std::size_t most_mebibytes = 4);

/// @throws InputError with the line of the first syntax error
[[nodiscard]] toml::value parse_toml(const std::string& text, const std::string& path);

/// A quantity that code puts where a file would have a text: SI numbers, never printed and read back.
[[nodiscard]] toml::value put_quantity(double si, double deviation, Kind kind);

/// What put_quantity has put there; nothing for what a file says.
[[nodiscard]] std::optional<ParsedQuantity> quantity_put(const toml::value& value);

class TomlTable {
public:
    /// @throws InputError when `value` is not a table
    TomlTable(std::string file, std::string name, const toml::value& value);

    [[nodiscard]] bool has(const std::string& key) const { return value_->contains(key); }
    [[nodiscard]] std::vector<std::string> keys() const;  ///< sorted
    [[nodiscard]] Place place() const;
    [[nodiscard]] Place place(const std::string& key) const;
    [[nodiscard]] std::string full(const std::string& key) const;  ///< "section.key"

    [[nodiscard]] std::string text(const std::string& key) const;
    [[nodiscard]] double number(const std::string& key) const;
    [[nodiscard]] int integer(const std::string& key, int least, int most) const;
    /// A bare TOML number is accepted for ratios only.
    [[nodiscard]] ParsedQuantity quantity(const std::string& key, Kind kind) const;
    [[nodiscard]] std::vector<double> quantities(const std::string& key, Kind kind, std::size_t count) const;
    [[nodiscard]] std::vector<std::string> texts(const std::string& key) const;
    [[nodiscard]] std::vector<Point> points(const std::string& key, std::size_t most) const;
    [[nodiscard]] std::vector<std::array<int, 2>> index_pairs(const std::string& key, std::size_t most) const;
    [[nodiscard]] std::vector<std::string> texts(const std::string& key, std::size_t most) const;
    [[nodiscard]] TomlTable table(const std::string& key) const;
    [[nodiscard]] std::vector<TomlTable> tables(const std::string& key) const;

    /// The value as the user wrote it, for messages.
    [[nodiscard]] std::string written(const std::string& key) const;

    [[noreturn]] void refuse(const std::string& key, const std::string& message) const;
    [[noreturn]] void missing(const std::string& key, const std::string& what) const;

private:
    /// @throws InputError when the table has no such key
    [[nodiscard]] const toml::value& at(const std::string& key) const;
    [[nodiscard]] double element(const toml::value& value, const std::string& key, Kind kind) const;

    std::string file_;
    std::string name_;
    const toml::value* value_;
};

}  // namespace tymbal

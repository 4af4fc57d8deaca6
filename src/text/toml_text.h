// A TOML file as its bytes: a value is exchanged in its place and nothing else moves, neither comments nor quotes nor
// line ends.
#pragma once

#include <cstddef>
#include <string>
#include <vector>

namespace tymbal {

class TomlText {
public:
    /// @param text  valid TOML, see parse_toml
    explicit TomlText(std::string text);

    [[nodiscard]] const std::string& text() const { return text_; }
    /// A value as it is written, quotes and all; empty when the file does not give it. Keys may be quoted or dotted,
    /// sections be written as [section], as dotted keys or as a table in braces. A section that may stand several times
    /// is named with its number, from 1: "openings.2", "film.layer.1"; it is found where it is written as [[section]].
    [[nodiscard]] std::string value(const std::string& section, const std::string& key) const;
    /// Gives a key this value, as TOML. A new key comes first in its section, a new section last in the file.
    void set(const std::string& section, const std::string& key, const std::string& value);
    /// Takes a key out, with its line unless a comment stands there.
    void remove(const std::string& section, const std::string& key);
    /// A line of its own, first in a section that has a heading.
    void put_first(const std::string& section, const std::string& line);

private:
    struct Entry {
        std::vector<std::string> path;
        std::size_t key = 0, begin = 0, end = 0;  ///< of the key's first letter, and of the value
        bool in_braces = false;
    };
    struct Heading {
        std::vector<std::string> path;
        std::size_t end = 0;  ///< of its line
    };
    friend class TomlScan;

    void scan();
    [[nodiscard]] const Entry* find(const std::vector<std::string>& path) const;
    [[nodiscard]] const Heading* heading(const std::vector<std::string>& path) const;
    [[nodiscard]] std::size_t line_end(std::size_t at) const;
    void insert_line(std::size_t at, const std::string& line);
    bool insert_beside(const std::string& section, const std::string& line);

    std::string text_;
    std::string line_break_ = "\n";  ///< as the file has it
    std::vector<Entry> entries_;
    std::vector<Heading> headings_;
};

/// The text between the quotes that `old` has, or in double quotes.
[[nodiscard]] std::string quoted_like(const std::string& old, const std::string& text);

}  // namespace tymbal

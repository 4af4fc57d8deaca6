// Rows of a CSV file one at a time: fields without quotes and blanks, numbers with point or comma, line numbers.
#pragma once

#include "tymbal/base/error.h"

#include <fstream>
#include <optional>
#include <string>
#include <string_view>
#include <vector>

namespace tymbal {

class CsvRows {
public:
    /// @throws InputError when the file cannot be read
    explicit CsvRows(const std::string& path);

    /// Next line, without its end; false at the end of the file. @throws InputError for lines that are no text
    bool next();
    /// The next call of `next` stays at this line.
    void hold() { held_ = true; }
    [[nodiscard]] const std::string& line() const { return line_; }
    [[nodiscard]] Place place() const { return {path_, number_}; }

private:
    std::string path_;
    std::ifstream in_;
    std::vector<char> buffer_;
    std::vector<char> text_;  ///< room for the longest line: a file without line ends must not fill the memory
    std::string line_;
    int number_ = 0;
    bool held_ = false;
};

[[nodiscard]] std::string_view trimmed(std::string_view text);
[[nodiscard]] std::string lower(std::string_view text);

/// Empty lines and lines that begin with #, %, ! or //.
[[nodiscard]] bool is_comment(std::string_view line);

/// Tab, semicolon or comma: the first of them that the line holds; a line without any is one column.
[[nodiscard]] char separator_of(std::string_view line);

/// Fields of a line, blanks and quotes round them removed. Views into `line`; `fields` is reused.
void split(std::string_view line, char separator, std::vector<std::string_view>& fields);

/// A plain number, with `decimal` as its decimal sign; nothing for any other text ("nan" and "inf" too).
[[nodiscard]] std::optional<double> number_in(std::string_view field, char decimal);

/// True when the text is a number with exactly three digits behind its only comma.
[[nodiscard]] bool could_be_thousands(std::string_view field);

}  // namespace tymbal

#include "csv_rows.h"

#include <algorithm>
#include <array>
#include <cctype>
#include <charconv>
#include <cmath>
#include <filesystem>
#include <utility>

namespace tymbal {

namespace {

constexpr std::size_t longest_line = 65536;

}  // namespace

CsvRows::CsvRows(const std::string& path) : path_(path), buffer_(1U << 20U), text_(longest_line + 2) {
    std::error_code ignored;
    if (std::filesystem::is_directory(path, ignored)) throw InputError({path, 0}, "", "is a folder; name a CSV file");
    in_.rdbuf()->pubsetbuf(buffer_.data(), static_cast<std::streamsize>(buffer_.size()));
    in_.open(path, std::ios::binary);
    if (!in_) throw InputError({path, 0}, "", "cannot be read; check that it exists");
}

bool CsvRows::next() {
    if (std::exchange(held_, false)) return true;
    in_.getline(text_.data(), static_cast<std::streamsize>(text_.size()));
    const auto taken = static_cast<std::size_t>(in_.gcount());
    if (taken == 0 || in_.bad()) return false;
    line_.assign(text_.data(), in_.good() ? taken - 1 : taken);  // without the line end, which the last line lacks
    ++number_;
    if (number_ == 1 && line_.rfind("\xEF\xBB\xBF", 0) == 0) line_.erase(0, 3);
    if (number_ == 1 && (line_.rfind("\xFF\xFE", 0) == 0 || line_.rfind("\xFE\xFF", 0) == 0))
        throw InputError(place(), "", "is text of two bytes a character; save the file as plain text or UTF-8");
    if (!line_.empty() && line_.back() == '\r') line_.pop_back();
    if (line_.find('\0') != std::string::npos)
        throw InputError(place(), "", "holds bytes of value zero, which no text has; export the table as CSV again");
    if (line_.size() > longest_line || (in_.fail() && !in_.eof()))
        throw InputError(place(), "", "is longer than 65536 characters; a table has one row a line");
    return true;
}

std::string_view trimmed(std::string_view text) {
    const auto blank = [](char c) { return c == ' ' || c == '\t' || c == '\r'; };
    while (!text.empty() && blank(text.front())) text.remove_prefix(1);
    while (!text.empty() && blank(text.back())) text.remove_suffix(1);
    if (text.size() >= 2 && text.front() == '"' && text.back() == '"') return text.substr(1, text.size() - 2);
    return text;
}

std::string lower(std::string_view text) {
    std::string out(text);
    for (char& c : out) c = static_cast<char>(std::tolower(static_cast<unsigned char>(c)));
    return out;
}

bool is_comment(std::string_view line) {
    const std::string_view text = trimmed(line);
    return text.empty() || text.front() == '#' || text.front() == '%' || text.front() == '!' ||
           text.substr(0, 2) == "//";
}

char separator_of(std::string_view line) {
    for (const char c : {'\t', ';', ','})
        if (line.find(c) != std::string_view::npos) return c;
    return ',';
}

void split(std::string_view line, char separator, std::vector<std::string_view>& fields) {
    fields.clear();
    std::size_t from = 0;
    while (true) {
        const bool quoted = from < line.size() && line[from] == '"';
        std::size_t search = from;
        if (quoted) search = std::min(line.find('"', from + 1), line.size());
        const std::size_t to = std::min(line.find(separator, search), line.size());
        fields.push_back(trimmed(line.substr(from, to - from)));
        if (to == line.size()) return;
        from = to + 1;
    }
}

std::optional<double> number_in(std::string_view field, char decimal) {
    std::array<char, 64> text{};
    if (field.empty() || field.size() >= text.size()) return std::nullopt;
    if (field.front() == '+') field.remove_prefix(1);
    const auto number_sign = [](char c) { return (c >= '0' && c <= '9') || c == '.' || c == ',' || c == '-'; };
    if (field.empty() || !number_sign(field.front())) return std::nullopt;  // keeps "inf" and "nan" out
    std::copy(field.begin(), field.end(), text.begin());
    char* const end = text.data() + field.size();
    if (decimal == ',') {
        if (std::find(text.data(), end, '.') != end) return std::nullopt;
        std::replace(text.data(), end, ',', '.');
    }
    double value = 0.0;
    const auto [stop, error] = std::from_chars(text.data(), end, value);
    if (error != std::errc() || stop != end || !std::isfinite(value)) return std::nullopt;
    return value;
}

bool could_be_thousands(std::string_view field) {
    const std::size_t comma = field.find(',');
    if (comma == std::string_view::npos || field.find(',', comma + 1) != std::string_view::npos) return false;
    const std::string_view after = field.substr(comma + 1);
    return comma <= 4 && after.size() == 3 &&
           std::all_of(after.begin(), after.end(), [](unsigned char c) { return std::isdigit(c) != 0; });
}

}  // namespace tymbal

#include "toml_guard.h"

#include "tymbal/base/error.h"

#include <algorithm>

namespace tymbal {

std::size_t character_length(const std::string& text, std::size_t from) {
    const auto byte = [&](std::size_t k) { return k < text.size() ? static_cast<unsigned char>(text[k]) : 0U; };
    const unsigned lead = byte(from), second = byte(from + 1);
    if (lead < 0x80) return 1;
    if (lead < 0xC2 || lead > 0xF4) return 0;
    const unsigned low = lead == 0xE0 ? 0xA0 : lead == 0xF0 ? 0x90 : 0x80;
    const unsigned high = lead == 0xED ? 0x9F : lead == 0xF4 ? 0x8F : 0xBF;
    if (second < low || second > high) return 0;
    const std::size_t length = lead < 0xE0 ? 2 : lead < 0xF0 ? 3 : 4;
    for (std::size_t k = 2; k < length; ++k)
        if (byte(from + k) < 0x80 || byte(from + k) > 0xBF) return 0;
    return length;
}

namespace {

constexpr std::size_t most_in_line = 16U << 10U;
constexpr int most_nested = 32;

/// Position after the text in quotes that begins at `from`; escapes count in double quotes, and three quotes open a
/// text of many lines. An unclosed one ends with its line (or the file): the parser proper will complain.
std::size_t skip_quoted(const std::string& text, std::size_t from) {
    const char quote = text[from];
    const bool many_lines = text.compare(from, 3, std::string(3, quote)) == 0;
    const std::string closing(many_lines ? 3 : 1, quote);
    for (std::size_t k = from + closing.size(); k < text.size(); ++k) {
        if (text[k] == '\\' && quote == '"') {
            ++k;
        } else if (text[k] == '\n' && !many_lines) {
            return k;
        } else if (text.compare(k, closing.size(), closing) == 0) {
            return k + closing.size();
        }
    }
    return text.size();
}

int line_at(const std::string& text, std::size_t position) {
    int line = 1;
    for (std::size_t k = 0; k < position; ++k) line += text[k] == '\n' ? 1 : 0;
    return line;
}

void require_utf8(const std::string& text, const std::string& path) {
    for (std::size_t k = 0; k < text.size();) {
        const std::size_t length = character_length(text, k);
        if (length == 0)
            throw InputError({path, line_at(text, k)}, "", "has a character that is not UTF-8; save the file as UTF-8");
        k += length;
    }
}

void require_short_lines(const std::string& text, const std::string& path) {
    int line = 1;
    for (std::size_t from = 0; from < text.size(); ++line) {
        const std::size_t end = std::min(text.find('\n', from), text.size());
        if (end - from > most_in_line)
            throw InputError(
                {path, line}, "",
                "has more than 16 KiB in one line; break it, list entries may stand on lines of their own");
        from = end + 1;
    }
}

void require_shallow(const std::string& text, const std::string& path) {
    int depth = 0;
    for (std::size_t k = 0; k < text.size();) {
        const char c = text[k];
        if (c == '"' || c == '\'') {
            k = skip_quoted(text, k);
            continue;
        }
        if (c == '#') k = std::min(text.find('\n', k), text.size() - 1);
        if (c == '[' || c == '{') ++depth;
        if (c == ']' || c == '}') --depth;
        if (depth > most_nested)
            throw InputError({path, line_at(text, k)}, "", "nests brackets more than 32 deep; no design needs that");
        ++k;
    }
}

}  // namespace

void require_digestible_toml(const std::string& text, const std::string& path) {
    require_utf8(text, path);
    require_short_lines(text, path);
    require_shallow(text, path);
}

}  // namespace tymbal

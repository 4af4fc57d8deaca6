// Sentences with numbers in them, exponents as tables have them: 9.5e-5, 1.6e3.
#pragma once

#include <array>
#include <cstdio>
#include <cstring>
#include <string>

namespace tymbal {

/// As printf; at most 511 characters.
template <class... Values>
[[nodiscard]] std::string printed(const char* format, Values... values) {
    std::array<char, 512> text{};
    std::snprintf(text.data(), text.size(), format, values...);
    std::string out = text.data();
    for (const char* padded : {"e-0", "e+0", "e+"})
        for (std::size_t at = out.find(padded); at != std::string::npos; at = out.find(padded, at + 1))
            out.replace(at, std::strlen(padded), padded[1] == '-' ? "e-" : "e");
    return out;
}

}  // namespace tymbal

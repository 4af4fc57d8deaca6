#include "hashed.h"

#include "../base/sha256.h"

#include <cstdio>

namespace tymbal {

std::string exact_text(const std::optional<double>& value) {
    if (!value) return "-";
    char text[40];
    std::snprintf(text, sizeof text, "%.17g", *value + 0.0);  // -0 becomes 0
    return text;
}

std::string hash_of(const std::vector<std::string>& texts) {
    std::string all;
    for (const std::string& text : texts)  // length first, so that no text can pose as two
        all.append(std::to_string(text.size())).append(":").append(text).append("\n");
    return sha256_hex(all);
}

}  // namespace tymbal

#include "csv.h"

#include <charconv>
#include <cmath>

namespace tymbal {

std::string shortest(double value) {
    char text[64];
    char* const end = std::to_chars(text, text + sizeof text, value).ptr;
    return {text, end};
}

std::string csv(double value) {
    return std::isfinite(value) ? shortest(value) : "";
}

std::string csv(const std::optional<double>& value) {
    return value ? csv(*value) : "";
}

std::optional<double> stated(double deviation) {
    return deviation > 0.0 ? std::optional<double>(deviation) : std::nullopt;
}

std::string csv_text(const std::string& text) {
    std::string out = "\"";
    for (const char c : text) out.append(c == '"' ? "\"\"" : std::string(1, c));
    return out.append("\"");
}

}  // namespace tymbal

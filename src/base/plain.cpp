#include "plain.h"

#include <algorithm>
#include <array>
#include <cmath>
#include <cstdio>
#include <cstdlib>

namespace tymbal {

namespace {

std::string without_zeros(std::string number) {
    if (number.find('.') == std::string::npos) return number;
    number.erase(number.find_last_not_of('0') + 1);
    if (number.back() == '.') number.pop_back();
    return number;
}

}  // namespace

std::string printed(const char* format, int digits, double value) {
    std::array<char, 64> text{};
    std::snprintf(text.data(), text.size(), format, digits, value);
    return text.data();
}

std::string power_of_ten(double value, int digits) {
    const std::string text = printed("%.*e", digits - 1, value);
    const std::size_t e = text.find('e');
    return text.substr(0, e).append("e").append(std::to_string(std::atoi(text.c_str() + e + 1)));
}

std::string plain(double value, int digits) {
    if (!std::isfinite(value)) return "-";
    if (value == 0.0) return "0";
    const double rounded = std::strtod(printed("%.*e", digits - 1, value).c_str(), nullptr);
    const int power = static_cast<int>(std::floor(std::log10(std::abs(rounded)) + 1e-12));
    if (power < -4 || power >= std::max(digits, 5)) {
        const std::string text = power_of_ten(rounded, digits);
        const std::size_t e = text.find('e');
        return without_zeros(text.substr(0, e)).append(text.substr(e));
    }
    return without_zeros(printed("%.*f", std::max(0, digits - 1 - power), rounded));
}

}  // namespace tymbal

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

struct StressUnit {
    double pascal;
    const char* name;
};

StressUnit stress_unit(double pascal) {
    return std::abs(pascal) < 1e6 ? StressUnit{1e3, "kPa"} : StressUnit{1e6, "MPa"};
}

}  // namespace

std::string printed(const char* format, int digits, double value) {
    std::array<char, 64> text{};
    std::snprintf(text.data(), text.size(), format, digits, value);
    return text.data();
}

double rounded(double value, int digits) {
    return std::strtod(printed("%.*e", digits - 1, value).c_str(), nullptr);
}

std::string power_of_ten(double value, int digits) {
    const std::string text = printed("%.*e", digits - 1, value);
    const std::size_t e = text.find('e');
    return text.substr(0, e).append("e").append(std::to_string(std::atoi(text.c_str() + e + 1)));
}

std::string plain(double value, int digits) {
    if (!std::isfinite(value)) return "-";
    if (value == 0.0) return "0";
    const double shown = rounded(value, digits);
    const int power = static_cast<int>(std::floor(std::log10(std::abs(shown)) + 1e-12));
    if (power < -4 || power >= std::max(digits, 5)) {
        const std::string text = power_of_ten(shown, digits);
        const std::size_t e = text.find('e');
        return without_zeros(text.substr(0, e)).append(text.substr(e));
    }
    return without_zeros(printed("%.*f", std::max(0, digits - 1 - power), shown));
}

std::string stress_words(double pascal, int digits) {
    const StressUnit unit = stress_unit(pascal);
    return plain(pascal / unit.pascal, digits).append(" ").append(unit.name);
}

std::string stress_with_error(double pascal, double error) {
    const StressUnit unit = stress_unit(pascal);
    return plain(pascal / unit.pascal, 4)
        .append(" +- ")
        .append(plain(error / unit.pascal, 2))
        .append(" ")
        .append(unit.name);
}

}  // namespace tymbal

#include "figures.h"

#include "tymbal/base/constants.h"

#include <algorithm>
#include <array>
#include <cmath>
#include <cstdio>

namespace tymbal {

namespace {

constexpr double least_minutes = 120.0;  // s; below that seconds are easier to set a watch by

struct TimeUnit {
    double seconds;
    const char* name;
};

TimeUnit time_unit(double seconds) {
    const double size = std::abs(seconds);
    if (size < least_minutes) return {1.0, "s"};
    if (size < 7200.0) return {60.0, "min"};
    return size < 172800.0 ? TimeUnit{3600.0, "h"} : TimeUnit{86400.0, "d"};
}

/// Units that people write with prefixes; a pressure far below one pascal is written as a power of ten, and nobody
/// writes kilokelvins.
bool takes_prefix(const std::string& unit, double size) {
    if (unit == "Pa") return size >= 1.0;
    if (unit == "K") return size > 0.0 && size < 1.0;
    return unit == "m" || unit == "s" || unit == "Hz" || unit == "W" || unit == "N/m" || unit == "J/m^2" ||
           unit == "Pa s";
}

std::size_t characters(const std::string& text) {
    return static_cast<std::size_t>(std::count_if(
        text.begin(), text.end(), [](char c) { return (static_cast<unsigned char>(c) & 0xC0U) != 0x80U; }));
}

}  // namespace

std::string comma_list(const std::vector<std::string>& words) {
    std::string list;
    for (const std::string& word : words) list.append(list.empty() ? "" : ", ").append(word);
    return list;
}

std::string with_prefix(double value, const char* unit, int digits) {
    if (!std::isfinite(value)) return "-";
    if (value == 0.0) return std::string("0 ").append(unit);
    if (std::string(unit) == "s" && std::abs(value) >= least_minutes) return duration(value, digits);
    if (std::string(unit) == "Pa" && std::abs(value) < 1.0) return power_of_ten(value, digits).append(" Pa");
    constexpr std::array<const char*, 13> prefixes{"a", "f", "p", "n", "u", "m", "", "k", "M", "G", "T", "P", "E"};
    // Rounded first, so that 999.97 becomes 1.000 k.
    const double size = rounded(std::abs(value), digits);
    const int prefix = std::clamp(static_cast<int>(std::floor(std::log10(size) / 3.0 + 1e-12)) + 6, 0, 12);
    const double scale = std::pow(10.0, 3 * (prefix - 6));
    const double scaled = value / scale;
    const int before = std::max(1, static_cast<int>(std::floor(std::log10(size / scale) + 1e-12)) + 1);
    std::string text = printed("%.*f", std::clamp(digits - before, 0, 12), scaled);
    return text.append(" ").append(prefixes[static_cast<std::size_t>(prefix)]).append(unit);
}

UsualUnit usual_unit(const std::string& unit, double largest) {
    if (unit == "m/s") return {1e-9 / 60.0, "nm/min"};
    if (unit == "rad") return {constants::pi / 180.0, "deg"};
    if (largest == 0.0 || !takes_prefix(unit, largest)) return {1.0, unit};
    if (unit == "s" && largest >= least_minutes) return {time_unit(largest).seconds, time_unit(largest).name};
    const double scale = std::pow(10.0, 3.0 * std::floor(std::log10(largest) / 3.0 + 1e-12));
    const std::string one = with_prefix(scale, unit.c_str(), 1);
    return {scale, one.substr(one.find(' ') + 1)};
}

std::string with_unit(double value, const std::string& unit, int digits) {
    if (unit.empty() || unit == "1") return plain(value, digits);
    if (unit == "Pa" || takes_prefix(unit, std::abs(value))) return with_prefix(value, unit.c_str(), digits);
    const UsualUnit usual = usual_unit(unit, std::abs(value));
    return plain(value / usual.scale, digits).append(" ").append(usual.name);
}

std::string with_uncertainty(double value, double deviation, double scale) {
    const double v = value / scale, d = deviation / scale;
    if (!(d > 0.0)) return plain(v, 4);
    // Rounded first, so that 0.9996 becomes 1.0 and not 1.00.
    const int decimals = std::clamp(1 - static_cast<int>(std::floor(std::log10(rounded(d, 2)) + 1e-12)), 0, 9);
    return printed("%.*f", decimals, v).append(" +- ").append(printed("%.*f", decimals, d));
}

std::string with_stated(double value, double deviation, double error, double scale) {
    const double known_to = std::max(deviation, error);
    if (!(known_to > 0.0)) return fixed(value / scale, 4).append(" -");
    const std::string text = with_uncertainty(value, known_to, scale);
    return deviation > 0.0 ? text : text.substr(0, text.find(" +-")) + " -";
}

std::string any_size(double value, double deviation) {
    if (!(deviation > 0.0) || value == 0.0) return plain(value, 6);
    const int power = static_cast<int>(std::floor(std::log10(std::abs(value))));
    if (power >= -2 && power <= 4) return with_uncertainty(value, deviation, 1.0);
    std::string text = "(";
    return text.append(with_uncertainty(value, deviation, std::pow(10.0, power)))
        .append(")e")
        .append(std::to_string(power));
}

std::string duration(double seconds, int digits) {
    if (!std::isfinite(seconds)) return "-";
    const TimeUnit unit = time_unit(seconds);
    return unit.seconds == 1.0 ? with_prefix(seconds, "s", digits)
                               : plain(seconds / unit.seconds, digits).append(" ").append(unit.name);
}

std::string duration_with(double seconds, double deviation) {
    if (!(deviation > 0.0)) return duration(seconds);
    const TimeUnit unit = time_unit(seconds);
    return with_uncertainty(seconds, deviation, unit.seconds).append(" ").append(unit.name);
}

std::string overlap_text(double overlap) {
    if (std::abs(overlap) < 5e-4) return "0";
    return std::abs(overlap) < 0.1 ? fixed(overlap, 3) : fixed(overlap, 2);
}

std::string quantity_text(double value, double deviation, const std::string& unit) {
    if (unit == "1" || unit.empty()) return any_size(value, deviation);
    const double size = std::max(std::abs(value), deviation);
    if (unit == "s" && size >= least_minutes) return duration_with(value, deviation);
    const UsualUnit usual = usual_unit(unit, size);
    const bool plain_digits = deviation > 0.0 && takes_prefix(unit, size);  // a prefix spares the power of ten
    return (plain_digits ? with_uncertainty(value, deviation, usual.scale)
                         : any_size(value / usual.scale, deviation / usual.scale))
        .append(" ")
        .append(usual.name);
}

std::string fixed(double value, int decimals) {
    return printed("%.*f", decimals, value);
}

std::string rough(double value) {
    return std::isfinite(value) ? power_of_ten(value, 2) : "-";
}

FrequencyUnit frequency_unit(double highest_hz) {
    if (highest_hz >= 1e6) return {1e6, "MHz"};
    return highest_hz >= 1e3 ? FrequencyUnit{1e3, "kHz"} : FrequencyUnit{1.0, "Hz"};
}

std::string left(const std::string& text, std::size_t width) {
    const std::size_t size = characters(text);
    return size >= width ? text : text + std::string(width - size, ' ');
}

std::string right(const std::string& text, std::size_t width) {
    const std::size_t size = characters(text);
    return size >= width ? text : std::string(width - size, ' ') + text;
}

std::string in_column(const std::string& text, std::size_t width) {
    return std::string(1, ' ').append(right(text, width - 1));
}

std::string wrapped(const std::string& text, std::size_t first, std::size_t others, std::size_t width) {
    std::string out;
    std::size_t column = first, from = 0;
    while (from < text.size()) {
        const std::size_t to = std::min(text.find(' ', from), text.size());
        const std::string word = text.substr(from, to - from);
        const std::size_t size = characters(word);
        if (from > 0 && column + 1 + size > width) {
            out.append("\n").append(others, ' ');
            column = others;
        } else if (from > 0) {
            out.append(" ");
            ++column;
        }
        out += word;
        column += size;
        from = to + 1;
    }
    return out;
}

std::string wrapped(std::ostream& out, const std::string& text, std::size_t first, std::size_t others) {
    return wrapped(text, first, others, page_width(out));
}

}  // namespace tymbal

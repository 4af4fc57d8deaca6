#include "tymbal/read/parse_axis.h"

#include "tymbal/base/error.h"
#include "tymbal/read/design_keys.h"

#include "../text/csv.h"

#include <algorithm>
#include <charconv>
#include <cmath>
#include <optional>
#include <set>

namespace tymbal {

namespace {

constexpr std::size_t most_values = 100'000;

/// Not yet said by which option the text was given.
struct Refused : std::runtime_error {
    using std::runtime_error::runtime_error;
};

[[noreturn]] void refuse(const std::string& text, const std::string& why) {
    throw Refused("'" + text.substr(0, 120) + "' " + why +
                  "; accepted: KEY=FROM..TO:COUNT, KEY=FROM..TO:COUNT:log or KEY=A,B,C");
}

std::vector<std::string> pieces(const std::string& text, char at) {
    std::vector<std::string> parts;
    std::size_t from = 0;
    for (std::size_t to = text.find(at); to != std::string::npos; to = text.find(at, from)) {
        parts.push_back(text.substr(from, to - from));
        from = to + 1;
    }
    parts.push_back(text.substr(from));
    return parts;
}

std::string trimmed(const std::string& text) {
    const std::size_t from = text.find_first_not_of(' ');
    return from == std::string::npos ? "" : text.substr(from, text.find_last_not_of(' ') - from + 1);
}

double axis_number(const std::string& whole, const std::string& text, const DesignKey& key) {
    try {
        const ParsedQuantity parsed = parse_quantity(text, key.kind.value_or(Kind::ratio));
        if (parsed.has_deviation) refuse(whole, "gives an uncertainty, which is taken from the design file");
        return parsed.value;
    } catch (const UnitError& e) {
        refuse(whole, "has a value that " + std::string(e.what()));
    }
}

int count_of(const std::string& whole, const std::string& text) {
    int count = 0;
    const char* const end = text.data() + text.size();
    const auto [stop, error] = std::from_chars(text.data(), end, count);
    if (error != std::errc() || stop != end || count < 2 || count > static_cast<int>(most_values))
        refuse(whole, "needs a whole number of values from 2 to " + std::to_string(most_values));
    return count;
}

std::vector<std::variant<double, std::string>> range(const std::string& whole, const std::string& values,
                                                     const DesignKey& key) {
    const std::size_t dots = values.find("..");
    const std::vector<std::string> tail = pieces(values.substr(dots + 2), ':');
    const bool logarithmic = tail.size() == 3 && tail[2] == "log";
    if (tail.size() < 2 || tail.size() > 3 || (tail.size() == 3 && !logarithmic))
        refuse(whole, "does not end with the number of values, or that and 'log'");
    const double from = axis_number(whole, trimmed(values.substr(0, dots)), key),
                 to = axis_number(whole, trimmed(tail[0]), key);
    const int count = count_of(whole, tail[1]);
    if (from == to) refuse(whole, "begins where it ends");
    if (logarithmic && !(from > 0.0 && to > 0.0)) refuse(whole, "must stay above zero to be logarithmic");
    std::vector<std::variant<double, std::string>> all;
    for (int k = 0; k < count; ++k) {
        const double share = static_cast<double>(k) / (count - 1);
        const double between = logarithmic ? from * std::pow(to / from, share) : from + (to - from) * share;
        all.emplace_back(k == 0 ? from : k == count - 1 ? to : between);
    }
    return all;
}

/// Keys without a unit take names; those of [solve] bare numbers.
bool takes_names(const DesignKey& key) {
    return !key.kind && std::string(key.section) != "solve";
}

std::vector<std::variant<double, std::string>> list(const std::string& whole, const std::string& values,
                                                    const DesignKey& key) {
    std::vector<std::variant<double, std::string>> all;
    for (const std::string& part : pieces(values, ',')) {
        const std::string word = trimmed(part);
        if (word.empty()) refuse(whole, "has an empty value");
        const bool name = takes_names(key) || (std::string(key.name) == "model");
        all.push_back(name ? std::variant<double, std::string>(word) : axis_number(whole, word, key));
    }
    return all;
}

std::string shown(const std::variant<double, std::string>& value) {
    const double* si = std::get_if<double>(&value);
    return si != nullptr ? shortest(*si) : std::get<std::string>(value);
}

/// What keeps a sweep from taking an axis; nothing for a sound one. A table has a line for each row.
std::optional<std::string> fault_of(const SweepAxis& axis) {
    if (axis.key == "solve.modes") return "would change the table's columns; ask for so many yourself (modes)";
    if (axis.values.empty()) return "gives no values";
    if (axis.values.size() > most_values)
        return std::string("gives more than ").append(std::to_string(most_values)).append(" values");
    std::set<std::variant<double, std::string>> seen;
    for (const auto& value : axis.values) {
        const std::string text = shown(value);
        if (text.empty()) return "has an empty value";
        if (std::any_of(text.begin(), text.end(), [](unsigned char c) { return c < 0x20; }))
            return "has a value with a line break or another control character";
        if (!seen.insert(value).second) return std::string("names ").append(text).append(" twice");
    }
    return std::nullopt;
}

SweepAxis axis_of(const std::string& text) {
    const std::size_t equals = text.find('=');
    if (equals == std::string::npos || equals == 0) refuse(text, "names no key and values");
    const std::string key = trimmed(text.substr(0, equals)), values = text.substr(equals + 1);
    const DesignKey& known = changeable_key(key);
    if (trimmed(values).empty()) refuse(text, "gives no values");
    const bool ranged = values.find("..") != std::string::npos && !takes_names(known);
    SweepAxis axis{key, ranged ? range(text, values, known) : list(text, values, known)};
    if (const auto fault = fault_of(axis)) refuse(text, *fault);
    return axis;
}

}  // namespace

SweepAxis parse_axis(const std::string& text, const std::string& option) {
    try {
        return axis_of(text);
    } catch (const Refused& e) {
        throw InputError({}, option, e.what());
    }
}

void require_sound(const SweepAxis& axis) {
    (void)changeable_key(axis.key);
    if (const auto fault = fault_of(axis)) throw InputError({}, axis.key, *fault);
}

}  // namespace tymbal

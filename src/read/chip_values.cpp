#include "chip_values.h"

#include "tymbal/read/design_keys.h"

#include <algorithm>
#include <cmath>

namespace tymbal {

namespace {

bool near(double a, double b) {
    return std::abs(a - b) <= 1e-12 * std::max(std::abs(a), std::abs(b));
}

bool is_number(const toml::value& value) {
    return value.is_floating() || value.is_integer();
}

double number_in(const toml::value& value) {
    return value.is_integer() ? static_cast<double>(value.as_integer()) : value.as_floating();
}

/// A text that is no quantity is only equal to itself: the reader will find fault with it.
bool same_quantity(const std::string& a, const std::string& b, Kind kind) {
    try {
        const ParsedQuantity one = parse_quantity(a, kind), other = parse_quantity(b, kind);
        return near(one.value, other.value) && near(one.deviation, other.deviation);
    } catch (const UnitError&) {
        return a == b;
    }
}

bool same(const toml::value& a, const toml::value& b, const std::optional<Kind>& kind) {
    if (a.is_array() && b.is_array())
        return std::equal(a.as_array().begin(), a.as_array().end(), b.as_array().begin(), b.as_array().end(),
                          [&](const toml::value& x, const toml::value& y) { return same(x, y, kind); });
    if (is_number(a) && is_number(b)) return near(number_in(a), number_in(b));
    if (kind && a.is_string() && b.is_string()) return same_quantity(a.as_string().str, b.as_string().str, *kind);
    return a == b;
}

}  // namespace

bool same_value(const toml::value& a, const toml::value& b, const std::string& section, const std::string& key) {
    const DesignKey* known = find_design_key(section, key);
    return same(a, b, known == nullptr ? std::nullopt : known->kind);
}

}  // namespace tymbal

#include "design_lines.h"

#include "tymbal/files/design_keys.h"

#include "csv.h"
#include "figures.h"

#include <cmath>

namespace tymbal {

namespace {

/// Lengths in micrometres, everything else in SI units: both read back as they are written.
std::string number_text(double si, std::optional<Kind> kind) {
    if (!kind) return shortest(si);
    if (*kind == Kind::ratio) return plain(si, 9);
    if (*kind == Kind::length) return plain(1e6 * si, 9) + " um";
    std::string text = plain(si, 9);
    return text.append(" ").append(si_unit(*kind));
}

std::string list_text(const std::array<double, 2>& pair, char quote) {
    std::string text = "[";
    for (const double metres : pair)
        text.append(text.size() > 1 ? ", " : "")
            .append(1, quote)
            .append(number_text(metres, Kind::length))
            .append(1, quote);
    return text.append("]");
}

std::string list_text(const std::vector<Point>& points, char quote) {
    std::string text = "[";
    for (const Point p : points)
        text.append(text.size() > 1 ? ", " : "").append(list_text(std::array<double, 2>{p.x, p.y}, quote));
    return text.append("]");
}

}  // namespace

std::string value_text(const Change& change) {
    if (const double* si = std::get_if<double>(&change.value)) return number_text(*si, changeable_key(change.key).kind);
    if (const auto* name = std::get_if<std::string>(&change.value)) return *name;
    return toml_list(change, '"');
}

std::string toml_list(const Change& change, char quote) {
    if (const auto* pair = std::get_if<std::array<double, 2>>(&change.value)) return list_text(*pair, quote);
    if (const auto* points = std::get_if<std::vector<Point>>(&change.value)) return list_text(*points, quote);
    return "";
}

std::string design_lines(const Changes& changes, const std::string& indent) {
    std::string text, section;
    for (const Change& change : changes) {
        const DesignKey& key = changeable_key(change.key);
        if (section != key.section) {
            section = key.section;
            text.append(indent).append("[").append(section).append("]\n");
        }
        const bool number = std::holds_alternative<double>(change.value);
        const bool bare = number ? !key.kind || *key.kind == Kind::ratio : !toml_list(change, '"').empty();
        const char* quote = bare ? "" : "\"";
        text.append(indent).append(is_derived_key(change.key) ? "# all lengths times " : std::string(key.name) + " = ");
        text.append(quote).append(value_text(change)).append(quote).append("\n");
    }
    return text;
}

}  // namespace tymbal

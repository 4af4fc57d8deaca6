#include "design_lines.h"

#include "tymbal/read/design_keys.h"

#include "../text/csv.h"
#include "../text/figures.h"
#include "change_design.h"

#include <cmath>

namespace tymbal {

namespace {

constexpr int length_digits = 9;  // fields are solved to a tenth of a nanometre, and rows of holes hang on it
constexpr int other_digits = 7;

/// A unit that a design file takes, for a value of this size: "33.78 nm", "182.9 um", "800 MPa". Times stay in seconds,
/// pressures of gas in pascals, as most are given.
UsualUnit file_unit(double si, Kind kind) {
    const double size = std::abs(si);
    if (kind == Kind::length) return size > 0.0 && size < 1e-6 ? UsualUnit{1e-9, "nm"} : UsualUnit{1e-6, "um"};
    if (kind == Kind::speed || kind == Kind::angle) return usual_unit(si_unit(kind), size);
    if (kind == Kind::stress || kind == Kind::frequency) {
        const auto unit = [&](double scale, const char* prefix) {
            return UsualUnit{scale, std::string(prefix).append(si_unit(kind))};
        };
        if (size < 1e3) return unit(1.0, "");
        if (size < 1e6) return unit(1e3, "k");
        return size < 1e9 ? unit(1e6, "M") : unit(1e9, "G");
    }
    return {1.0, si_unit(kind)};
}

/// A number that reads back as it is written, its deviation in the same unit.
std::string number_text(double si, const std::optional<double>& deviation, std::optional<Kind> kind) {
    if (!kind) return shortest(si);
    const UsualUnit unit = file_unit(si, *kind);
    const int digits = *kind == Kind::length || *kind == Kind::ratio ? length_digits : other_digits;
    std::string text = plain(si / unit.scale, digits);
    if (deviation) text.append(" +- ").append(plain(*deviation / unit.scale, digits));
    return unit.name.empty() ? text : text.append(" ").append(unit.name);
}

/// A list's text in its quotes, a site's number bare. Lengths of one list stand in one unit.
std::string element_text(double si, std::optional<Kind> kind, const std::string& quote) {
    if (!kind) return shortest(si);
    const std::string text =
        *kind == Kind::length ? plain(1e6 * si, length_digits).append(" um") : number_text(si, std::nullopt, kind);
    return std::string(quote).append(text).append(quote);
}

std::string list_text(const std::vector<std::string>& elements) {
    std::string text = "[";
    for (const std::string& element : elements) text.append(text.size() > 1 ? ", " : "").append(element);
    return text.append("]");
}

std::string list_text(const std::array<double, 2>& pair, std::optional<Kind> kind, const std::string& quote) {
    return list_text({element_text(pair[0], kind, quote), element_text(pair[1], kind, quote)});
}

}  // namespace

std::string value_text(const Change& change, const std::optional<double>& deviation) {
    if (const double* si = std::get_if<double>(&change.value))
        return number_text(*si, deviation, changeable_key(change.key).kind);
    if (const auto* name = std::get_if<std::string>(&change.value)) return *name;
    return toml_list(change, '"');
}

std::string toml_list(const Change& change, char quote) {
    const std::optional<Kind> kind = changeable_key(change.key).kind;
    const std::string quotes(1, quote);
    if (const auto* pair = std::get_if<std::array<double, 2>>(&change.value)) return list_text(*pair, kind, quotes);
    if (const auto* points = std::get_if<std::vector<Point>>(&change.value)) {
        std::vector<std::string> elements;
        for (const Point p : *points) elements.push_back(list_text(std::array<double, 2>{p.x, p.y}, kind, quotes));
        return list_text(elements);
    }
    return is_list_text(change) ? std::get<std::string>(change.value) : "";
}

namespace {

/// "[outline]", or "[[openings]]  # 2".
std::string heading_line(const KeyPath& path) {
    if (path.number == 0) return "[" + path.section + "]";
    return std::string("[[").append(path.section).append("]]  # ").append(std::to_string(path.number));
}

}  // namespace

std::string design_lines(const Changes& changes, const std::string& indent) {
    std::string text, section;
    for (const Change& change : changes) {
        const DesignKey& key = changeable_key(change.key);
        const KeyPath path = key_path(change.key);
        if (section != path.place()) {
            section = path.place();
            text.append(indent).append(heading_line(path)).append("\n");
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

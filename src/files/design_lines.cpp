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

}  // namespace

std::string value_text(const Change& change) {
    if (const double* si = std::get_if<double>(&change.value)) return number_text(*si, changeable_key(change.key).kind);
    return std::get<std::string>(change.value);
}

std::string design_lines(const Changes& changes, const std::string& indent) {
    std::string text, section;
    for (const Change& change : changes) {
        const DesignKey& key = changeable_key(change.key);
        if (section != key.section) {
            section = key.section;
            text.append(indent).append("[").append(section).append("]\n");
        }
        const bool bare = std::holds_alternative<double>(change.value) && (!key.kind || *key.kind == Kind::ratio);
        const char* quote = bare ? "" : "\"";
        text.append(indent).append(is_derived_key(change.key) ? "# all lengths times " : std::string(key.name) + " = ");
        text.append(quote).append(value_text(change)).append(quote).append("\n");
    }
    return text;
}

}  // namespace tymbal

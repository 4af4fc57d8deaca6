#include "partners.h"

#include <algorithm>
#include <cmath>
#include <string>

namespace tymbal {

namespace {

/// Can modes with these labels be one pair? On rectangles (1,2) and (2,1), on discs and rings the same diameters and
/// circles; on polygons nothing in the label speaks against it.
bool kindred(const std::string& a, const std::string& b) {
    const auto without_number = [](const std::string& label) {
        return label.front() == '#' ? label.substr(std::min(label.size(), label.find(' '))) : label;
    };
    const bool polygon = a.front() == '#' && a.find("d=") == std::string::npos;
    if (polygon || without_number(a) == without_number(b)) return true;
    const std::size_t comma = a.find(',');
    if (a.front() != '(' || comma == std::string::npos || a.find(')') + 1 != a.size()) return false;
    std::string swapped = "(";
    swapped.append(a, comma + 1, a.size() - comma - 2).append(",").append(a, 1, comma - 1).append(")");
    return swapped == b;
}

}  // namespace

void name_partners(std::vector<Mode>& modes) {
    for (std::size_t k = 0; k + 1 < modes.size(); ++k) {
        Mode &a = modes[k], &b = modes[k + 1];
        if (a.partner != 0 || !kindred(a.label, b.label) ||
            std::abs(a.frequency_hz - b.frequency_hz) > a.discretisation_error_hz + b.discretisation_error_hz)
            continue;
        a.partner = b.index;
        b.partner = a.index;
    }
}

}  // namespace tymbal

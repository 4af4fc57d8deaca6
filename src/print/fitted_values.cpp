#include "fitted_values.h"

#include "../text/figures.h"

#include <algorithm>
#include <cmath>

namespace tymbal {

namespace {

std::string value_text(const FittedValue& v, double value, double deviation) {
    if (v.unit == "Pa/m") return with_uncertainty(value, deviation, 1e9).append(" MPa/mm");
    if (deviation == 0.0 && v.unit != "1") return with_prefix(value, v.unit.c_str());
    const double size = std::max(std::abs(value), deviation);
    const char* unit = v.unit == "1" ? "" : v.unit.c_str();
    if (v.unit != "Pa" && v.unit != "m") {
        std::string text = any_size(value, deviation);
        return *unit == '\0' ? text : text.append(" ").append(unit);
    }
    const double factor = std::pow(10.0, 3.0 * std::floor(std::log10(std::max(size, 1e-12)) / 3.0));
    const std::string prefixed = with_prefix(factor, unit, 1);
    return with_uncertainty(value, deviation, factor).append(prefixed.substr(prefixed.find(' ')));
}

}  // namespace

std::string designed_text(const FittedValue& v) {
    const bool free = v.name == "film.tilt" || v.name == "outline.growth" || v.unit == "Pa/m";  // no design has them
    return free ? "0" : value_text(v, v.designed, v.prior.value_or(0.0));
}

std::string fitted_text(const FittedValue& v) {
    return value_text(v, v.fitted, v.deviation);
}

}  // namespace tymbal

#include "cavity_words.h"

#include "../text/figures.h"

#include <cmath>

namespace tymbal {

std::string coupling_text(double hz_per_m) {
    return with_prefix(1e-9 * std::abs(hz_per_m), "Hz", 4).append("/nm");
}

std::string signed_hz(double hz, int digits) {
    return std::string(hz < 0.0 ? "-" : "").append(with_prefix(std::abs(hz), "Hz", digits));
}

std::string pure_number(const std::optional<double>& value) {
    if (!value || !std::isfinite(*value)) return "-";
    return std::abs(*value) >= 1e3 ? rough(*value) : plain(*value, 2);
}

std::string watts_text(const std::optional<double>& value) {
    return value ? with_prefix(*value, "W", 2) : "-";
}

}  // namespace tymbal

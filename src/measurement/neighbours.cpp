#include "tymbal/measurement/neighbours.h"

#include "tymbal/base/constants.h"

#include <cmath>

namespace tymbal {

std::optional<Neighbour> nearest_harmonic(const std::vector<Mode>& modes, std::size_t which, double linewidth) {
    constexpr int highest = 9;
    const Mode& mode = modes[which];
    std::optional<Neighbour> nearest;
    for (std::size_t k = 0; k < which; ++k) {
        for (int n = 2; n <= highest; ++n) {
            const double at = n * modes[k].frequency_hz, offset = at - mode.frequency_hz;
            if (nearest && std::abs(nearest->offset_hz) <= std::abs(offset)) continue;
            const double open = 2.0 * (mode.discretisation_error_hz + n * modes[k].discretisation_error_hz) + linewidth;
            nearest = {std::to_string(n).append(" x ").append(modes[k].label), at, offset, std::abs(offset) < open};
        }
    }
    return nearest;
}

std::optional<Neighbour> nearest_chip_mode(const std::vector<PlateMode>& chip, double frequency_hz,
                                           double deviation_hz) {
    std::optional<Neighbour> nearest;
    for (std::size_t k = 0; k < chip.size(); ++k) {
        const double at = chip[k].frequency_hz - chip[k].thick_hz, offset = at - frequency_hz;
        if (nearest && std::abs(nearest->offset_hz) <= std::abs(offset)) continue;
        const double open = 2.0 * deviation_hz + chip[k].error_hz + 0.5 * chip[k].thick_hz;
        nearest = {std::string("chip mode ").append(std::to_string(k + 1)), at, offset, std::abs(offset) < open};
    }
    return nearest;
}

double weyl_count(double area, double perimeter, double speed, double f) {
    return constants::pi * area * f * f / (speed * speed) - 0.5 * perimeter * f / speed;
}

}  // namespace tymbal

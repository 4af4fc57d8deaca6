// What stands near a mode on the frequency axis: harmonics of lower modes, chip modes, and how many modes to expect.
#pragma once

#include "tymbal/measurement/plate.h"
#include "tymbal/modes/modes.h"

#include <optional>
#include <string>
#include <vector>

namespace tymbal {

struct Neighbour {
    std::string name;  ///< "2 x (1,1)", "chip mode 7"
    double at_hz = 0.0;
    double offset_hz = 0.0;  ///< at_hz minus the mode's frequency
    bool within = false;     ///< not told apart within the errors given
};

/// Nearest whole multiple (2 to 9) of a lower mode. The two share their inputs' errors: only numerics, at twice, and
/// the line widths count.
/// @param linewidth_hz  of the mode
[[nodiscard]] std::optional<Neighbour> nearest_harmonic(const std::vector<Mode>& modes, std::size_t which,
                                                        double linewidth_hz);

/// Nearest chip mode. Within: closer than two deviations of the membrane mode plus what chip theory leaves open.
/// @param deviation_hz  one sigma of the membrane's frequency, numerics included
[[nodiscard]] std::optional<Neighbour> nearest_chip_mode(const std::vector<PlateMode>& chip, double frequency_hz,
                                                         double deviation_hz);

/// Modes below a frequency by Weyl's law with the rim term: A f^2 pi/c^2 - P f/(2 c), c the wave speed.
/// Source: Weyl, Math. Ann. 71, 441 (1912); Ivrii, Funct. Anal. Appl. 14, 98 (1980) for the rim (from memory).
[[nodiscard]] double weyl_count(double area_m2, double perimeter_m, double wave_speed_m_per_s, double frequency_hz);

}  // namespace tymbal

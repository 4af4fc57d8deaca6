// Radiation loss of a membrane mode into this very chip: a band between the chip's resonances and its quiet places.
#pragma once

#include "tymbal/measurement/plate.h"
#include "tymbal/modes/modes.h"

#include <optional>
#include <vector>

namespace tymbal {

/// The chip as far as thin-plate theory places its modes.
struct ChipModel {
    PlateProblem plate;
    std::vector<PlateMode> modes;
    double reach_hz = 0.0;    ///< above it the error of a mode's place exceeds the distance to the next
    double spacing_hz = 0.0;  ///< mean distance of modes
};

/// @param highest_hz  of the membrane modes: chip modes are solved up to 1.2 times that, or up to the reach
/// @throws NoAnswer when the row has no elastic constants or density
[[nodiscard]] ChipModel chip_model(const Chip& chip, const Solid& solid, double highest_hz);

/// Real part of velocity per force that the membrane may meet, s/kg.
struct MobilityBand {
    double low = 0.0, middle = 0.0, high = 0.0;
};

/// Below the reach: least and largest of the sum over chip modes while the frequency moves through its own and the
/// chip's uncertainty; above it Skudrzyk's envelope, that of an endless plate times tanh and coth of pi f/(2 Q
/// spacing). The chip's own quality is taken as 10 000 at most (10^2 to 10^5 are seen; common practice, no published
/// source). Source: Skudrzyk, J. Acoust. Soc. Am. 67, 1105 (1980) (from memory).
[[nodiscard]] MobilityBand mobility_band(const ChipModel& chip, double frequency_hz, double deviation_hz);

/// Q = 2 omega W/(F^2 Re Y), F = omega^2 int m w dA, W the mode's energy; empty for modes without a net force.
[[nodiscard]] std::optional<QualityBand> chip_radiation(const Mode& mode, double film_mass_kg,
                                                        const MobilityBand& band);

}  // namespace tymbal

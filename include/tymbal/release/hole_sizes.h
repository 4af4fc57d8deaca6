// Four sizes of one hole, kept apart by name: what is drawn, printed, etched and, after the wet etch, released.
#pragma once

#include "tymbal/base/sourced.h"

#include <optional>

namespace tymbal {

/// [process]: what the clean room does to the drawn figure. Biases count per edge, positive where holes grow.
struct Process {
    Sourced<Length> lithography_bias;  ///< drawn to printed in the resist
    Sourced<Length> etch_bias;         ///< printed to etched through the film
    std::optional<Length> address_grid;
    std::optional<Length> least_feature;
};

/// Full widths (diameter, side or width across flats), m, each with one standard deviation.
struct HoleSize {
    double width = 0.0;
    double deviation = 0.0;
};

struct HoleSizes {
    HoleSize drawn;
    HoleSize printed;   ///< in the resist
    HoleSize etched;    ///< through the film, before the wet etch
    HoleSize released;  ///< in the released film: the size the design names
};

/// Backwards from the released size: every step takes twice its growth per edge off.
/// @param wet_growth  per edge, from the wet etch that eats the film at the hole's wall
/// @throws NoAnswer when a step leaves no hole
[[nodiscard]] HoleSizes hole_sizes(const Sourced<Length>& released, const std::optional<Process>& process,
                                   const HoleSize& wet_growth);

}  // namespace tymbal

// A two-mirror cavity that holds the film: what the design says about it.
#pragma once

#include "tymbal/base/quantity.h"

#include <optional>

namespace tymbal {

/// Mirrors, the film's place between them, and the light that drives the cavity.
struct Cavity {
    Length length;             ///< between the mirrors, or from the input mirror to a film that is the end mirror
    Length film_from_input;    ///< from the input mirror to the film
    bool film_is_end = false;  ///< the film takes the end mirror's place
    double input_transmission = 0.0;    ///< of power
    double end_transmission = 0.0;      ///< of power; 0 with the film in its place
    double loss = 0.0;                  ///< of power per round trip, mirrors without the film
    Length waist;                       ///< 1/e^2 intensity radius at the film
    std::optional<Frequency> detuning;  ///< laser minus cavity; empty: the best for each mode
    std::optional<Power> power;         ///< that meets the input mirror
};

}  // namespace tymbal

// How a film's stress changes between the temperature it is stated for and the one the device works at.
#pragma once

#include "tymbal/film/film.h"

namespace tymbal {

/// Stress at `device_k` of a film whose stress is stated at `stated_k`: ds = -E/(1 - nu) (alpha_film - alpha_frame) dT,
/// the expansions taken as constant. Below 200 K they fade towards zero, each in its own way, so there each is taken as
/// known to half of itself only; the deviation is widened accordingly.
/// Source: Timoshenko, J. Opt. Soc. Am. 11, 233 (1925) for the mismatch strain (from memory, re-derived).
[[nodiscard]] Sourced<Stress> stress_at(const Sourced<Stress>& stress, double stated_k, double device_k,
                                        const Sourced<Stress>& modulus, const Sourced<Ratio>& poisson_ratio,
                                        const Sourced<ThermalExpansion>& film, const Sourced<ThermalExpansion>& frame);

}  // namespace tymbal

// A film with a lattice of holes over a gap over a substrate, with every order that crosses the gap: near a substrate
// the waves that cling to the film reach it too, and below the diffraction limit they run there.
#pragma once

#include "tymbal/light/film_light.h"
#include "tymbal/light/gap_readout.h"
#include "tymbal/light/lines.h"

#include <functional>
#include <optional>
#include <vector>

namespace tymbal {

/// Any gap at one wavelength, from one solution of the film: its answers to each order from below, and the plane waves
/// between it and the substrate. Powers and slope are what two truncations tend to. Mean of both fields.
/// @param least_gap_m  narrowest gap that will be asked; orders that would lose more than a millionth of a millionth of
///                     their power on the way there and back are left out
/// @throws NoAnswer  as respond of hole_lattice.h
[[nodiscard]] std::function<GapPoint(double)> over_gaps(const LatticeLight& film, ComplexIndex below,
                                                        double least_gap_m);

/// One gap at any wavelength of a range, by rational fits between the wavelengths at which orders begin to run away
/// into vacuum or substrate; the fits follow reflection and slope, so that absorption is left at 0.
/// @param stack  with gap and substrate
[[nodiscard]] std::function<GapPoint(double)> over_gap_between(const HoleLattice& holes, const LayeredFilmAt& stack,
                                                               WavelengthRange range);

}  // namespace tymbal

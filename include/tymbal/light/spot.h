// A focused spot on a film with a lattice of holes: its rays are tilted, and a narrow line does not reflect them all.
#pragma once

#include "tymbal/light/hole_lattice.h"

namespace tymbal {

struct SpotResponse {
    double reflected_power = 0.0;  ///< zero order, of the incident power
    double mode_matched = 0.0;     ///< of the incident power, what returns in the incident beam's own mode
};

/// Gaussian beam with its waist (1/e^2 radius of intensity) on the film, unpolarised; the field of holes is taken to be
/// endless. Averages over the directions of the beam in the lattice's mirror planes.
/// @throws NoAnswer  as respond; a waist below two wavelengths, for which the beam is no beam
[[nodiscard]] SpotResponse respond_to_spot(const HoleLattice& holes, const LayeredFilm& film, double wavelength_m,
                                           double waist_m);

}  // namespace tymbal

// Light on a film with a lattice of holes: what it reflects and passes on, from the Fourier modes of the unit cell.
//
// The one field equation of this library that is not solved by finite differences: on a grid that takes minutes they
// are still farther from the limit than some eighty orders that take milliseconds.
#pragma once

#include "tymbal/geometry/holes.h"
#include "tymbal/light/stack.h"

#include <complex>
#include <functional>
#include <optional>
#include <vector>

namespace tymbal {

/// An endless lattice. @note Lattice::list has no unit cell and is refused by all that take this.
struct HoleLattice {
    Lattice lattice = Lattice::square;
    HoleShape shape = HoleShape::circle;
    double pitch_m = 0.0;
    double size_m = 0.0;  ///< diameter, side or width across flats; > 0 and so that neighbours do not touch
};

/// What lies behind each other at one wavelength; above it is vacuum.
struct LayeredFilm {
    std::vector<OpticalLayer> layers;     ///< in the order in which the light meets them, all with the same holes
    double gap_m = 0.0;                   ///< empty, between film and substrate; unused without a substrate
    std::optional<ComplexIndex> below{};  ///< substrate; empty: nothing
};

/// The film by wavelength in m, for ranges over which its index changes.
using LayeredFilmAt = std::function<LayeredFilm(double)>;

/// Electric field of the light at normal incidence: along the first lattice direction, or across it.
enum class LightField { along, across };

/// How far orders are kept, |G| <= reach * 2 pi/pitch (more where the pitch exceeds the wavelength). A result is what
/// two truncations tend to, as with factorised products both approach the limit as 1/reach^2; its error is twice the
/// step from the finer one to there, for lines 1.5 times. R + T = 1 holds at every truncation, also far from the limit:
/// it tells nothing about the error.
struct Truncation {
    double coarse = 5.0, fine = 7.0;
};

struct LatticeResponse {
    std::complex<double> r, t;  ///< zero order; tangential electric field at the film's faces, exp(-i omega t). With a
                                ///< substrate t is the field that enters it.
    double reflectivity = 0.0;  ///< power, zero order
    double transmission = 0.0;
    double diffracted_up = 0.0, diffracted_down = 0.0;  ///< power of all other orders
    double absorption = 0.0;                            ///< by the film's layers and, without `below`, nothing else
    double error = 0.0;                                 ///< of reflectivity and transmission, by truncation
    bool diffracts = false;                             ///< does any other order run away?
};

/// @throws NoAnswer  touching holes, a lattice without a unit cell, no layer, a pitch of more than eight wavelengths
[[nodiscard]] LatticeResponse respond(const HoleLattice& holes, const LayeredFilm& film, double wavelength_m,
                                      LightField field = LightField::along, Truncation truncation = {});

/// Do both fields see the same, by the symmetry of lattice and hole?
[[nodiscard]] bool alike_along_and_across(const HoleLattice& holes);

/// Below this wavelength light at normal incidence is diffracted into the vacuum, m.
[[nodiscard]] double diffraction_limit_m(const HoleLattice& holes);

/// What is left of the first orders beside the zero one after they have crossed an empty gap there and back,
/// exp(-2 K g), K = 2 pi sqrt(1/limit^2 - 1/wavelength^2) with the diffraction limit; 1 where they run.
[[nodiscard]] double coupling_across(const HoleLattice& holes, double wavelength_m, double gap_m);

}  // namespace tymbal

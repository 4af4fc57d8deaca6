// A film alone in vacuum under light at normal incidence: plane layers, or layers with a lattice of holes.
#pragma once

#include "tymbal/light/hole_lattice.h"

#include <functional>
#include <vector>

namespace tymbal {

/// One direction of the electric field. Amplitudes as in light/stack.h: tangential field at the film's faces,
/// exp(-i omega t), zero order.
struct FieldResponse {
    std::complex<double> front, back;               ///< reflected, for light from above and from below
    std::complex<double> through;                   ///< the same both ways
    double reflectivity = 0.0, transmission = 0.0;  ///< power, zero order, from above
    double diffracted = 0.0;                        ///< power of all other orders
    double absorption = 0.0;
    double error = 0.0;  ///< of reflectivity and transmission, by numerics
};

/// Both directions, and the means of their powers: unpolarised light.
struct SeenFilm {
    FieldResponse along, across;  ///< of the lattice's first direction; the same without holes
    double reflectivity = 0.0, transmission = 0.0, diffracted = 0.0, absorption = 0.0, error = 0.0;
};

/// Both, with their means.
[[nodiscard]] SeenFilm unpolarised(const FieldResponse& along, const FieldResponse& across);

/// Layers in the order in which the light meets them, all with the same holes, at one wavelength.
struct LatticeLight {
    HoleLattice holes;
    std::vector<OpticalLayer> layers;
    double wavelength_m = 0.0;
};

/// Without holes. @param layers  at least one
[[nodiscard]] SeenFilm see_layers(const std::vector<OpticalLayer>& layers, double wavelength_m);

/// By Fourier modes. @throws NoAnswer  as respond of hole_lattice.h
[[nodiscard]] SeenFilm see_lattice(const LatticeLight& seen);

/// The same from other orders than the usual ones.
[[nodiscard]] SeenFilm see_truncated(const LatticeLight& seen, Truncation truncation);

/// see_lattice, or one that remembers (light/light_memo.h).
using LatticeSolver = std::function<SeenFilm(const LatticeLight&)>;

/// Holes far wider than the wavelength: each ray meets film or hole, and the zero order is the mean over the cell.
/// @param open  share of the cell that is open
[[nodiscard]] SeenFilm see_wide_holes(const std::vector<OpticalLayer>& layers, double open, double wavelength_m);

}  // namespace tymbal

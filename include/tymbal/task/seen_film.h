// How light sees the film that hangs free: decided here alone, for every task but the spectrum of `light`.
#pragma once

#include "tymbal/base/material.h"
#include "tymbal/task/device.h"
#include "tymbal/task/predict.h"

#include <functional>
#include <optional>
#include <vector>

namespace tymbal {

/// Film and layers on it at one wavelength, from the upper face down, as solid ones.
/// @return empty when a layer's row has no index
[[nodiscard]] std::vector<OpticalLayer> solid_layers(const Film& film, double wavelength_m);

/// @note  of a lattice alone: a list of holes has no unit cell
[[nodiscard]] HoleLattice lattice_of(const HolePattern& holes);

/// A pitch below a twenty-fifth of the wavelength acts as an averaged index, one above four wavelengths leaves rays
/// that meet film or hole; the cell is solved between. At both ends the limit is as good as the solution that it
/// replaces (tests/light/limits_test.cpp), and takes no time. A film without a lattice, or with a list of holes, is
/// plain.
[[nodiscard]] SeenAs seen_as(const Device& device, double wavelength_m);

/// What lies below the gap, by `readout.below`; 1 for nothing. @throws NoAnswer  a row without an index
[[nodiscard]] ComplexIndex substrate_index(const Device& device, const Materials& materials, double wavelength_m);

/// How far a film is from the one of the design, SI.
struct FilmMove {
    double thickness_m = 0.0, index = 0.0;  ///< of the film itself, not of layers on it
    double pitch_m = 0.0, size_m = 0.0;     ///< of its holes
};

/// Film and lattice as the solver takes them. @param device  with a lattice, whose layers all have an index
[[nodiscard]] LatticeLight lattice_light(const Device& device, double wavelength_m, const FilmMove& moved = {});

/// The film alone, in vacuum. @return empty when a layer's row has no index
/// @throws NoAnswer  as see_lattice
[[nodiscard]] std::optional<LitFilm> see_film(const Device& device, double wavelength_m,
                                              const LatticeSolver& solve = see_lattice, const FilmMove& moved = {});

/// The same for many wavelengths between two: rational fits where the cell is solved, whose powers other than the zero
/// order's are left at 0.
/// @param device  whose layers all have an index
[[nodiscard]] std::function<SeenFilm(double)> see_film_between(const Device& device, double from_m, double to_m);

/// What the figures leave out or mean: diffracted light, holes without a cell, limits with notable error.
void warn_of_light(const Device& device, const LitFilm& film, Warnings& out);

/// The film's own index as seen: averaged over the holes where it is seen so.
[[nodiscard]] ComplexIndex seen_index(const Device& device, double wavelength_m);

}  // namespace tymbal

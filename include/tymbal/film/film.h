// The film as the physics sees it: thickness, stress and elastic constants with uncertainty and source.
#pragma once

#include "tymbal/base/material.h"

#include <string>
#include <vector>

namespace tymbal {

/// A layer on top of the film, over the whole outline.
struct FilmLayer {
    std::string material;  ///< row name
    Sourced<Length> thickness;
    Sourced<Stress> stress;  ///< equal-biaxial, tensile positive
    Solid properties;        ///< its row; modulus, Poisson's ratio and density are there
};

/// A film after the material row and the overrides of the design have been joined; every property present.
struct Film {
    std::string material;  ///< row name
    Sourced<Length> thickness;
    Sourced<Stress> stress;            ///< equal-biaxial, tensile positive, at the device temperature before release
    Sourced<Temperature> temperature;  ///< of the device
    Sourced<Stress> youngs_modulus;
    Sourced<Ratio> poisson_ratio;
    Sourced<Density> density;
    Sourced<ThermalExpansion> thermal_expansion;
    Sourced<ThermalConductivity> thermal_conductivity;
    Sourced<SpecificHeat> heat_capacity;
    Sourced<Stress> strength;
    Sourced<Ratio> quality_volume;
    Sourced<InverseLength> quality_surface;
    Sourced<Ratio> extinction;
    Dispersion index;
    std::vector<FilmLayer> layers{};  ///< from the film upwards; the values above are then those of all together
    Length own_thickness{};           ///< with layers: of the film itself
};

/// Plate bending stiffness E h^3 / (12 (1 - nu^2)) of the solid film, N m.
/// Source: Timoshenko and Woinowsky-Krieger, Theory of Plates and Shells, 2nd ed., ch. 1 (from memory, re-derived).
[[nodiscard]] double bending_stiffness_n_m(const Film& film);

/// Tension stress * thickness of the solid, unreleased film, N/m.
[[nodiscard]] double tension_n_per_m(const Film& film);

/// Thickness of the clamped-edge bending layer sqrt(D/N) of the solid film, m; infinite without tension.
[[nodiscard]] double edge_layer_m(const Film& film);

}  // namespace tymbal

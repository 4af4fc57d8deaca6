// Rows of the material table, as the physics uses them.
#pragma once

#include "tymbal/base/sourced.h"

#include <map>
#include <optional>
#include <string>
#include <vector>

namespace tymbal {

/// Refractive index by a dispersion formula n^2 = 1 + sum B l^2/(l^2 - C^2), l the wavelength in micrometres, by
/// points between which it runs straight, or a constant when there are neither.
struct Dispersion {
    struct Term {
        double strength = 0.0;
        double resonance_um = 0.0;
    };
    struct Point {
        double um = 0.0;
        double n = 1.0;
        double extinction = 0.0;  ///< imaginary part
    };
    std::vector<Term> terms;
    double constant = 0.0;   ///< n when `terms` and `points` are empty
    double deviation = 0.0;  ///< one sigma of n
    double from_um = 0.0;    ///< range in which the source gives the formula
    double to_um = 0.0;
    Source source;
    std::vector<Point> points{};  ///< rising wavelength, at least two when there are any
};

/// Elastic constants of a cubic crystal.
struct Crystal {
    Sourced<Stress> c11;
    Sourced<Stress> c12;
    Sourced<Stress> c44;
};

/// A film or bulk solid. Values are for 300 K unless the citation says otherwise; absent means: not in the table.
struct Solid {
    std::string row;    ///< name in the table, e.g. "nitride-stoichiometric"
    std::string title;  ///< e.g. "stoichiometric silicon nitride, low-pressure CVD"
    std::optional<Sourced<Stress>> youngs_modulus;
    std::optional<Sourced<Ratio>> poisson_ratio;
    std::optional<Sourced<Density>> density;
    std::optional<Sourced<Stress>> film_stress;  ///< typical as-deposited, tensile positive
    std::optional<Sourced<ThermalExpansion>> thermal_expansion;
    std::optional<Sourced<ThermalConductivity>> thermal_conductivity;
    std::optional<Sourced<SpecificHeat>> heat_capacity;
    std::optional<Sourced<Stress>> strength;
    std::optional<Sourced<Ratio>> quality_volume;           ///< intrinsic Q of the bulk of the film
    std::optional<Sourced<InverseLength>> quality_surface;  ///< intrinsic surface Q per thickness, Q = value * h
    std::optional<Sourced<Ratio>> extinction;               ///< imaginary part of the index
    std::optional<Dispersion> index;
    std::optional<Crystal> crystal;
};

struct Gas {
    std::string row;
    std::string title;
    Sourced<MolarMass> molar_mass;
    Sourced<Viscosity> viscosity;  ///< at 300 K
};

/// A wet etchant and the rates at which it removes materials of the table, fresh and at room temperature.
struct Etchant {
    std::string row;
    std::string title;                            ///< composition
    std::string hazard;                           ///< what cautions it needs, e.g. "hydrofluoric acid"
    std::map<std::string, Sourced<Speed>> rates;  ///< by material row; absent: not known, which is not zero
};

/// What a chip is dried from.
struct Liquid {
    std::string row;
    std::string title;
    std::string hazard;
    Sourced<Tension> surface_tension;          ///< zero: no meniscus passes
    std::optional<Sourced<Tension>> adhesion;  ///< energy per area, J/m^2, that holds faces which have touched in it
};

/// The whole table, by row name.
struct Materials {
    std::map<std::string, Solid> solids;
    std::map<std::string, Gas> gases;
    std::map<std::string, Etchant> etchants;
    std::map<std::string, Liquid> liquids;
};

}  // namespace tymbal

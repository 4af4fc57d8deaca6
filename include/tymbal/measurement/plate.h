// The silicon chip as a bending plate: its own modes by finite differences, and how easily it yields at a place.
#pragma once

#include "tymbal/base/material.h"
#include "tymbal/quality/budget.h"

#include <Eigen/Core>

#include <vector>

namespace tymbal {

/// Bending stiffness of a plate whose elastic axes lie along its edges, N m; d66 acts on 2 w_xy twice over:
/// energy = 1/2 int d11 w_xx^2 + 2 d12 w_xx w_yy + d22 w_yy^2 + 4 d66 w_xy^2.
struct PlateStiffness {
    double d11 = 0.0, d12 = 0.0, d22 = 0.0, d66 = 0.0;
};

/// A (100) plate of a cubic crystal with edges along <110> or <100> when the row has its constants, else isotropic.
/// Plane stress: q11 = c11 - c12^2/c11, q12 = c12 - c12^2/c11, q66 = c44 along <100> (Brantley, J. Appl. Phys. 44, 534
/// (1973), from memory, re-derived).
/// @throws NoAnswer when the row has no elastic constants
[[nodiscard]] PlateStiffness plate_stiffness(const Solid& solid, double thickness_m, bool along_110);

struct PlateProblem {
    double width = 0.0, length = 0.0;  ///< along x, y, m
    double areal_density = 0.0;        ///< kg/m^2
    PlateStiffness stiffness;
    std::vector<ChipEdge> held;  ///< clamped edges; the others are free
    int count = 40;              ///< modes besides rigid motions
};

struct PlateMode {
    double frequency_hz = 0.0;
    double error_hz = 0.0;  ///< of the grids
    double thick_hz = 0.0;  ///< by how much shear lowers it against thin-plate theory, first order; 0 <= thick_hz
    double at_place = 0.0;  ///< displacement at the asked place, the mode's mass being one, kg^-1/2
};

/// Lowest bending modes, rising, without rigid motions; extrapolated from two grids.
/// @param place_x, place_y  from the plate's centre
/// @param thickness         for the shear correction (k H)^2 (1 + 2 pi^2/(..)) only, see source
[[nodiscard]] std::vector<PlateMode> plate_modes(const PlateProblem& plate, double place_x, double place_y,
                                                 double thickness);

/// Real part of the velocity per force at the place, s/kg: sum over modes, each with the same loss factor 1/q.
[[nodiscard]] double mobility(const std::vector<PlateMode>& modes, double frequency_hz, double quality);

/// Of an endless plate, 1/(8 sqrt(D rho H)) with the mean bending stiffness (Cremer, Heckl and Petersson,
/// Structure-Borne Sound, from memory).
[[nodiscard]] double endless_mobility(const PlateStiffness& stiffness, double areal_density);

/// Mean stiffness over all directions in the plane.
[[nodiscard]] double mean_stiffness(const PlateStiffness& stiffness);

/// Mean distance of bending modes on the frequency axis, Hz: 2 sqrt(D/rho H)/A (leading term).
[[nodiscard]] double mode_spacing_hz(const PlateProblem& plate);

}  // namespace tymbal

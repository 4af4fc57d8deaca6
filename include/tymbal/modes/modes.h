// The transverse modes of the suspended film: frequencies with errors, shapes, energies and integrals of the shapes.
#pragma once

#include "tymbal/base/warning.h"

#include <string>
#include <vector>

namespace tymbal {

/// One input's share of a frequency's uncertainty.
struct Contribution {
    std::string input;                ///< design key, e.g. "film.stress"
    double sensitivity = 0.0;         ///< d ln f / d ln input
    double relative_deviation = 0.0;  ///< one sigma of the input over its value
    double share_hz = 0.0;            ///< |f * sensitivity * relative_deviation|
};

/// Integrals over one mode shape w, normalised so that its largest |w| is 1. Masses in kg, stiffnesses in N/m.
struct ModeIntegrals {
    double mass = 0.0;              ///< int m w^2 dA: the effective mass at the antinode
    double mass_error = 0.0;        ///< of the grids and of the antinode's height on them
    double net_mass = 0.0;          ///< int m w dA: net momentum of the mode per unit antinode velocity, signed
    double stiffness = 0.0;         ///< omega^2 * mass, N/m (twice the elastic energy at unit amplitude)
    double bending_interior = 0.0;  ///< twice the bending energy away from the rim, holes' curvature included, N/m
    double bending_edge = 0.0;      ///< twice the bending energy of the clamped-edge layer, N/m
    double bending_low = 0.0;       ///< what the sum of the two may be, N/m; both ends 0: nothing is said
    double bending_high = 0.0;
    bool bending_rough = false;  ///< the band is an order of magnitude: see modes/bending_band.h
};

/// Values of a mode shape on a rectangular raster, row by row from the lowest y; 0 outside the outline.
struct ShapeRaster {
    int columns = 0;
    int rows = 0;
    double x0 = 0.0, y0 = 0.0;  ///< first point, m
    double dx = 0.0, dy = 0.0;  ///< spacing, m
    std::vector<double> w;
    std::vector<bool> open{};  ///< points inside the outline that hold no film (w is 0 there); empty: none
};

struct Mode {
    int index = 0;            ///< in the list of those found: from 1, by rising frequency
    int number = 0;           ///< in the film's spectrum, from 1
    std::string label;        ///< "(m,n)", "(d,c)", mixed "(1,3)-(3,1)", else symmetry
    std::string character{};  ///< "flexure n" or "torsion n" of strips, "pad" or "tether"; empty: neither or not told
    double frequency_hz = 0.0;
    double frequency_std_hz = 0.0;  ///< from the inputs' uncertainties
    double discretisation_error_hz =
        0.0;          ///< bound of the grids' error, not one sigma; of a hole lattice its cell's too
    int partner = 0;  ///< index of the other mode of a degenerate pair (equal within the errors), 0: none
    std::vector<Contribution> contributions;  ///< largest first
    ModeIntegrals integrals;
    ShapeRaster shape;
};

}  // namespace tymbal

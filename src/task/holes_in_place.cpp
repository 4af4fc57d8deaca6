#include "holes_in_place.h"

#include <cmath>
#include <limits>

namespace tymbal {

namespace {

/// Tension that is left in a hole field, from the Hashin-Shtrikman bound (Hashin, J. Mech. Phys. Solids 13, 119 (1965),
/// from memory, re-derived): only the ratio of edge layer to pitch hangs on it.
double relaxed_share(double open_fraction, double nu) {
    return (1.0 - open_fraction) / (1.0 + open_fraction * (1.0 + nu) / (1.0 - nu));
}

}  // namespace

std::vector<Hole> place(const HolePattern& holes, const Outline& outline) {
    return std::holds_alternative<Released>(outline) ? place_holes(holes) : place_holes(holes, boundary(outline));
}

PlacedHoles holes_in_place(const Device& device) {
    return placed(*device.holes, place(*device.holes, device.outline));
}

CellProblem cell_problem(const Film& film, const HolePattern& holes, double accuracy) {
    const double pitch = holes.pitch.si();
    const double size = holes.size.si() / pitch;
    const double open = hole_area(holes.shape, size) / cell_area(holes.lattice);
    const double nu = film.poisson_ratio.si();
    const double tension = tension_n_per_m(film) * relaxed_share(open, nu);
    const double layer = tension > 0.0 ? std::sqrt(bending_stiffness_n_m(film) / tension) / pitch
                                       : std::numeric_limits<double>::infinity();
    return {holes.lattice, holes.shape, size, nu, layer, accuracy};
}

}  // namespace tymbal
